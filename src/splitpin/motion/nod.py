"""nod: a piece turns and returns."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.measure.plain import Count, Flag, Name, Number
from splitpin.motion.channels import member, number, prefix, within_limits
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, Span
from splitpin.motion.spacing import ends_of, share, through

A_NOD = 4


class Nod(Move):
    """A piece turns and returns, once or several times: a nod, a wag, a shaken head."""

    usual: ClassVar[int | None] = 2 * A_NOD
    summary: ClassVar[str] = "A piece turns and returns."

    move: Literal["nod"]
    """Which move it is."""
    piece: Name | None = None
    """The piece that nods; the whole member when left out."""
    by: Number = 12.0
    """How far it turns, degrees anticlockwise."""
    times: Annotated[Count, Field(le=1000)] = 2
    """How often."""
    both: Flag = False
    """Turns as far to the other side each time, as a wagging finger does."""

    @property
    def takes(self) -> int:
        """Four positions a nod, eight when it goes to both sides."""
        return self.times * A_NOD * (2 if self.both else 1)

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """Disturbs ``angle``; the event ``nod`` each time it is furthest from rest."""
        member(self, before)
        channel = f"{prefix(self, before, self.piece)}angle"
        n = span.exposures
        times = min(self.times, (n - 1) // 2 if self.both else n // 2)
        if times == 0:
            return Motion(disturb={channel: (0.0,) * n}, events=happenings(span))
        if self.both:
            points = [0.0, *[self.by, -self.by] * times, 0.0]
            counts = share(n, [1.0, *[2.0] * (2 * times - 1), 1.0], least=1)
        else:
            points = [0.0, *[self.by, 0.0] * times]
            counts = share(n, [1.0] * (2 * times), least=1)
        values = through(points, counts, ["swing"] * len(counts))
        angle = number(before, channel)
        within_limits(self, before, self.piece, [angle + value for value in values], "by")
        far = ends_of(counts)[:-1] if self.both else ends_of(counts)[::2]
        return Motion(disturb={channel: tuple(values)}, events=happenings(span, *(("nod", k) for k in far)))
