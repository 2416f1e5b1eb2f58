"""slide: one piece, or a whole member, goes along a way."""

from __future__ import annotations

from typing import ClassVar, Literal

from splitpin.motion.easing import Ease, fractions
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Span
from splitpin.motion.travel import Travel


class Slide(Travel):
    """Goes along a way, the legs (if any) unmoved; three smaller steps at each end."""

    usual: ClassVar[int | None] = 12
    summary: ClassVar[str] = "Goes along a straight, curved or drawn way."

    move: Literal["slide"]
    """Which move it is."""
    ease: Ease = "taper"
    """How it gains and loses speed."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``x`` and ``y``."""
        of = self.prefix(before)
        xs, ys = self.way(before, of).at(fractions(self.ease, span.exposures))
        return Motion({f"{of}x": tuple(xs), f"{of}y": tuple(ys)}, events=happenings(span))
