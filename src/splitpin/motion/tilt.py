"""tilt: the camera turns over the art."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.measure.plain import Count, Number
from splitpin.motion.bend import goal
from splitpin.motion.channels import number, view_only
from splitpin.motion.easing import Ease, fractions
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, Span
from splitpin.motion.spacing import blend


class Tilt(Move):
    """Turns the camera over the art: the picture turns the other way."""

    usual: ClassVar[int | None] = 24
    summary: ClassVar[str] = "The camera turns over the art."
    works_on: ClassVar[Literal["member", "view", "both"]] = "view"

    move: Literal["tilt"]
    """Which move it is."""
    on: Annotated[Count, Field(le=240)] | None = 1
    """Frames an exposure while it works."""
    to: Number | None = None
    """The angle it ends at, degrees anticlockwise."""
    by: Number | None = None
    """Or how far it turns, degrees anticlockwise."""
    ease: Ease = "slow-in-out"
    """How it gains and loses speed."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``angle`` of the view."""
        view_only(self, before)
        start = number(before, "angle")
        values = blend(start, goal(start, self.to, self.by), fractions(self.ease, span.exposures))
        return Motion({"angle": tuple(values)}, events=happenings(span))
