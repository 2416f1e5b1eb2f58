"""growth: a piece grows or shrinks, by equal ratios or by a set of sizes."""

from __future__ import annotations

from itertools import chain, repeat
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.measure.plain import Name, Positive
from splitpin.motion.channels import member, number, prefix
from splitpin.motion.easing import Ease, fractions
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, MoveError, Span
from splitpin.motion.spacing import ratio, share


class Growth(Move):
    """Grows or shrinks: by equal ratios, which look even, or by a set of sizes, one or two positions each."""

    usual: ClassVar[int | None] = 8
    summary: ClassVar[str] = "Grows or shrinks by equal ratios, or by a set of sizes."

    move: Literal["growth"]
    """Which move it is."""
    piece: Name | None = None
    """The piece that grows about its pin; the whole member when left out."""
    to: Positive | None = None
    """Its scale at the end, against its true size."""
    by: Positive | None = None
    """Or how many times as large it becomes."""
    sizes: Annotated[list[Positive], Field(min_length=1, max_length=10_000)] | None = None
    """Or a set of scales, each for an equal part of the time."""
    ease: Ease = "even"
    """How it gains and loses speed."""

    @property
    def takes(self) -> int:
        """Eight positions, or one for each size."""
        return 8 if self.sizes is None else len(self.sizes)

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``scale``; with a set of sizes the event ``swap`` at each."""
        member(self, before)
        channel = f"{prefix(self, before, self.piece)}scale"
        given = [key for key in ("to", "by", "sizes") if getattr(self, key) is not None]
        if len(given) != 1:
            raise MoveError(
                given[1] if given else "to",
                " and ".join(given) or "no size to grow to",
                "one of to, by and sizes",
                "leave all but one out" if given else "say how large it becomes",
            )
        n = span.exposures
        if self.sizes is not None:
            counts = share(n, [1] * len(self.sizes), least=1)
            values = list(chain.from_iterable(map(repeat, self.sizes, counts)))
            values[-1] = self.sizes[-1]
            laid = [k for k in range(n) if k == 0 or values[k] != values[k - 1]]
            return Motion({channel: tuple(values)}, events=happenings(span, *(("swap", k) for k in laid)))
        start = number(before, channel)
        end = self.to if self.to is not None else start * (self.by or 1.0)
        return Motion({channel: tuple(ratio(start, end, fractions(self.ease, n)))}, events=happenings(span))
