"""bounce: up and down, lower each time."""

from __future__ import annotations

from math import sqrt
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.measure.plain import Count, Flag, Name, Number
from splitpin.motion.channels import member, prefix
from splitpin.motion.easing import Ease
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, Span
from splitpin.motion.spacing import ends_of, share, through


class Bounce(Move):
    """Jumps up and down on the spot; the gaps grow 1:3:5 falling, and each rise is about ⅔ of the last.

    Together with a slide it goes along in arcs.
    """

    usual: ClassVar[int | None] = 16
    summary: ClassVar[str] = "Up and down, lower each time."

    move: Literal["bounce"]
    """Which move it is."""
    height: Number = 30.0
    """How high the first rise is, mm."""
    times: Annotated[Count, Field(le=1000)] = 3
    """How often it comes down."""
    again: Annotated[float, Field(strict=True, gt=0, le=1)] = 2 / 3
    """The height of each rise against the last."""
    dropped: Flag = False
    """Begins at the height and falls, instead of jumping up first."""
    piece: Name | None = None
    """The piece that bounces, off its pin; the whole member when left out."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """Disturbs ``y``; the event ``hit`` each time it is down.

        Notes
        -----
        Constant acceleration: a rise and the fall from it last as the square root of the height.
        """
        member(self, before)
        of = prefix(self, before, self.piece)
        n = span.exposures
        times = min(self.times, (n + self.dropped) // 2)
        if times == 0:
            return Motion(disturb={f"{of}y": (0.0,) * n}, events=happenings(span, ("hit", n - 1)))
        heights = [self.height * self.again**i for i in range(times)]
        weights = [sqrt(self.again**i) for i in range(times) for _ in (0, 1)]
        points = [0.0] + [y for height in heights for y in (height, 0.0)]
        eases: list[Ease] = ["rise", "fall"] * times
        if self.dropped:
            points, weights, eases = points[1:], weights[1:], eases[1:]
        counts = share(n, weights, least=1)
        downs = ends_of(counts)[0 if self.dropped else 1 :: 2]
        return Motion(
            disturb={f"{of}y": tuple(through(points, counts, eases))},
            events=happenings(span, *(("hit", k) for k in downs)),
        )
