"""The keys shared by all moves that go from one place to another."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from splitpin.measure.plain import Name, Number, Point
from splitpin.motion.channels import member, number, prefix
from splitpin.motion.easing import Ease
from splitpin.motion.move import Before, Move, MoveError
from splitpin.motion.path import Straight, Way, arc, bezier, drawn


class Journey(Move):
    """A move along a way."""

    to: Point | None = None
    """Where it ends: ``[x, y]``, mm on the table; of a member that rides, mm from the pin it rides on."""
    by: Point | None = None
    """Or how far it goes from where it lies: ``[x, y]``, mm."""
    arc: Number | None = None
    """Goes in an arc of a circle whose middle is this much above the straight way, mm; below 0 under it."""
    curve: Annotated[list[Point], Field(min_length=1, max_length=2)] | None = None
    """Goes in a Bézier curve with these one or two control points; with ``by``, counted from its place."""
    through: Annotated[list[Point], Field(min_length=1, max_length=2000)] | None = None
    """Goes smoothly through these places, as drawn by hand; with ``by``, counted from its place."""

    def way(self, before: Before, of: str = "") -> Way:
        """The way it goes.

        Parameters
        ----------
        before
            How things lay.
        of
            What the channels begin with: ``head.`` for a piece, nothing for the member or the view.

        Raises
        ------
        MoveError
            When the keys do not say one way.
        """
        start = number(before, f"{of}x"), number(before, f"{of}y")
        end = self._end(start)
        shapes = [key for key in ("arc", "curve", "through") if getattr(self, key) is not None]
        if len(shapes) > 1:
            raise MoveError(shapes[1], " and ".join(shapes), "one shape of way", "leave all but one out")
        dx, dy = start if self.to is None else (0.0, 0.0)
        if self.arc is not None:
            return arc(start, end, self.arc)
        if self.curve is not None:
            return bezier(start, [(x + dx, y + dy) for x, y in self.curve], end)
        if self.through is not None:
            return drawn([start, *((x + dx, y + dy) for x, y in self.through), end])
        return Straight(start, end)

    def _end(self, start: Point) -> Point:
        if self.to is not None and self.by is not None:
            raise MoveError("by", "both to and by", "one of the two", "leave one of them out")
        if self.to is not None:
            return self.to
        if self.by is not None:
            return start[0] + self.by[0], start[1] + self.by[1]
        raise MoveError(
            "to", "no place to go to", "to = [x, y] or by = [x, y]", "say where it goes, or how far, mm"
        )


class Travel(Journey):
    """A journey of a member, or of one of its pieces, with an easing."""

    piece: Name | None = None
    """The piece that goes (``to`` is then its shift off its pin); the whole member when left out."""
    ease: Ease = "slow-in-out"
    """How it gains and loses speed."""

    def prefix(self, before: Before) -> str:
        """What the channels that it moves begin with."""
        member(self, before)
        return prefix(self, before, self.piece)
