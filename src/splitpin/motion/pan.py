"""pan: the long background goes by under fixed marks, or the view goes over it."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.measure.plain import Count
from splitpin.motion.easing import Ease, fractions
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Span
from splitpin.motion.travel import Journey


class Pan(Journey):
    """Moves a long background (or another member), or the view, sideways; on ones, since twos strobe.

    A background panned to the left looks like a view panned to the right.
    """

    usual: ClassVar[int | None] = 48
    summary: ClassVar[str] = "The background goes by, or the view goes over it."
    works_on: ClassVar[Literal["member", "view", "both"]] = "both"

    move: Literal["pan"]
    """Which move it is."""
    on: Annotated[Count, Field(le=240)] | None = 1
    """Frames an exposure while it works."""
    ease: Ease = "slow-in-out"
    """How it gains and loses speed."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``x`` and ``y``."""
        xs, ys = self.way(before).at(fractions(self.ease, span.exposures))
        return Motion({"x": tuple(xs), "y": tuple(ys)}, events=happenings(span))
