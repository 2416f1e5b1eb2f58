"""reach: the end of a limb of two pieces goes to a place."""

from __future__ import annotations

from math import atan2, degrees, hypot
from typing import ClassVar, Literal

from splitpin.character.place import joints
from splitpin.character.reach import reach
from splitpin.measure.likely import likely
from splitpin.measure.plain import Name, Point
from splitpin.motion.channels import member, number, piece, within_limits
from splitpin.motion.easing import Ease, fractions
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, MoveError, Span
from splitpin.motion.spacing import blend


class Reach(Move):
    """A limb of two pieces, such as an upper and a lower arm, turns at both pins until its end is at a place.

    Counted from how the member lies when the move starts. A place out of reach is pointed at, with a warning.
    """

    usual: ClassVar[int | None] = 6
    summary: ClassVar[str] = "The end of a limb of two pieces goes to a place."

    move: Literal["reach"]
    """Which move it is."""
    piece: Name
    """The outer piece of the limb (the lower arm); the piece it hangs on (the upper arm) turns too."""
    end: Name
    """The pin of the outer piece that goes to the place (``hand``)."""
    to: Point
    """The place: ``[x, y]``, mm on the table; of a member that rides, mm from the pin it rides on."""
    bend: Literal["anticlockwise", "clockwise"] = "anticlockwise"
    """Which way the outer piece is bent off the direction of the other, as seen where the member
    stands: there are two ways to reach a place."""
    ease: Ease = "slow-in-out"
    """How it gains and loses speed."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``angle`` of both pieces; they turn the shorter way that their limits allow."""
        figure = member(self, before)
        outer = piece(self, before, self.piece)
        inner = (figure.character.pieces[outer].on or "").partition(".")[0]
        if not inner:
            raise MoveError(
                "piece",
                f"{outer!r} hangs on nothing",
                "the outer one of two pieces",
                "name the lower arm of a limb, not its root",
            )
        lying = joints(figure, before.pose)
        hooks = lying[outer].showing.hooks
        if self.end not in hooks:
            raise MoveError(
                "end",
                f"{outer!r} has no pin {self.end!r}",
                f"one of {', '.join(hooks)}",
                likely(self.end, hooks),
            )
        shoulder, elbow = lying[inner].axes.apply(0, 0), lying[outer].axes.apply(0, 0)
        upper, lower = _link(shoulder, elbow), _link(elbow, lying[outer].axes.apply(*hooks[self.end]))
        for length, name, what in ((upper[0], inner, outer), (lower[0], outer, self.end)):
            if length < 1e-6:
                raise MoveError(
                    "piece",
                    f"{name!r} is pinned in the same place at both ends ({what})",
                    "a piece with a length",
                    "set its pins apart in the character",
                )
        x, y = self.to[0] - shoulder[0], self.to[1] - shoulder[1]
        wanted = reach(upper[0], lower[0], x, y, left=self.bend == "anticlockwise")
        first = wanted.first - upper[1]
        second = wanted.first + wanted.second - lower[1] - first
        side = -1 if lying[inner].axes.determinant < 0 else 1
        travel = {}
        for name, turned in ((inner, side * first), (outer, side * second)):
            channel = f"{name}.angle"
            start = number(before, channel)
            limits = figure.character.pieces[name].limits
            values = blend(start, _nearest(start, turned, limits), fractions(self.ease, span.exposures))
            within_limits(self, before, name, values, "to")
            travel[channel] = tuple(values)
        short = wanted.short_by
        report = f"stays {short:.1f} mm short of {self.to[0]:g}, {self.to[1]:g}: out of reach"
        reports = (report,) if short > 0.05 else ()
        return Motion(dict(travel), events=happenings(span), reports=reports)


def _link(start: Point, end: Point) -> tuple[float, float]:
    """Length, mm, and direction, degrees, of a link."""
    x, y = end[0] - start[0], end[1] - start[1]
    return hypot(x, y), degrees(atan2(y, x))


def _nearest(start: float, turned: float, limits: tuple[float, float] | None) -> float:
    """The angle to end at: the shorter way round, unless only the other is within the limits."""
    short = start + (turned + 180) % 360 - 180
    ways = sorted((short, short - 360, short + 360), key=lambda angle: abs(angle - start))
    within = [a for a in ways if limits is None or limits[0] - 1e-9 <= a <= limits[1] + 1e-9]
    return (within or ways)[0]
