"""peel: covers are taken away scrap by scrap, or laid on."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.character.pose import Value
from splitpin.measure.plain import Flag, Name, Point
from splitpin.motion.channels import member, number, piece
from splitpin.motion.easing import fractions
from splitpin.motion.events import Happening, happenings
from splitpin.motion.move import Before, Motion, Move, MoveError, Span
from splitpin.motion.spacing import blend, ends_of, share


class Peel(Move):
    """Reveals what lies below: covers are hidden, or pulled away, one after the other."""

    usual: ClassVar[int | None] = 8
    summary: ClassVar[str] = "Covers are taken away scrap by scrap, or laid on."

    move: Literal["peel"]
    """Which move it is."""
    pieces: Annotated[list[Name], Field(min_length=1, max_length=10_000)] | None = None
    """The scraps in the order in which they go; all pieces from the top down when left out."""
    pull: Point | None = None
    """How far each is pulled away: ``[x, y]``, mm; left out, each is hidden at once."""
    cover: Flag = False
    """The other way round: hidden scraps are laid on, one after the other."""

    @property
    def takes(self) -> int:
        """One position a scrap (eight when the scraps are not listed)."""
        return 8 if self.pieces is None else len(self.pieces)

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``hidden``, or ``x`` and ``y``, of the scraps; the event ``scrap`` as each goes."""
        figure = member(self, before)
        if self.pull is not None and self.cover:
            raise MoveError("pull", "both pull and cover", "one of the two", "leave one of them out")
        names = list(self.pieces if self.pieces is not None else reversed(figure.order))
        for i, name in enumerate(names):
            piece(self, before, name, "pieces")
            if name in names[:i]:
                raise MoveError("pieces", f"{name!r} twice", "each scrap once", "name it once")
        n = span.exposures
        counts = share(n, [1] * len(names), least=1)
        travel: dict[str, tuple[Value, ...]] = {}
        events: list[Happening] = []
        for name, count, last in zip(names, counts, ends_of(counts), strict=True):
            first = min(last - count + 1, n - 1)
            events.append(("scrap", first))
            if self.pull is None:
                travel[f"{name}.hidden"] = (self.cover,) * first + (not self.cover,) * (n - first)
                continue
            shares = fractions("slow-out", max(count, 1))
            for channel, far in zip((f"{name}.x", f"{name}.y"), self.pull, strict=True):
                here = number(before, channel)
                way = blend(here, here + far, shares)
                travel[channel] = (*(here,) * first, *way, *(way[-1],) * (n - first - len(way)))
        return Motion(travel, events=happenings(span, *events))
