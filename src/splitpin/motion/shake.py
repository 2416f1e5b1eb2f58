"""shake: the whole field, a member or a piece trembles and decays."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.measure.plain import Name, Number
from splitpin.motion.channels import prefix
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, Span


class Shake(Move):
    """Trembles to and fro and dies away to nothing: a member, one of its pieces, or the view."""

    usual: ClassVar[int | None] = 5
    summary: ClassVar[str] = "Trembles to and fro and dies away."
    works_on: ClassVar[Literal["member", "view", "both"]] = "both"

    move: Literal["shake"]
    """Which move it is."""
    piece: Name | None = None
    """The piece that shakes; the whole member, or the view, when left out."""
    mm: Annotated[float, Field(strict=True, ge=0, le=1e6)] = 3.0
    """How far it goes to either side at first, mm."""
    along: Number = 0.0
    """The direction it shakes in, degrees anticlockwise: 0 is sideways, 90 up and down."""
    degrees: Number = 0.0
    """How far it also turns to either side at first."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """Disturbs ``x`` and ``y``, and ``angle`` when it turns too."""
        of = prefix(self, before, self.piece)
        n = span.exposures
        sway = [(-1) ** k * (n - 1 - k) / (n - 1) for k in range(n - 1)] + [0.0]
        far = {"x": self.mm * cos(radians(self.along)), "y": self.mm * sin(radians(self.along))}
        if self.degrees:
            far["angle"] = self.degrees
        return Motion(
            disturb={f"{of}{channel}": tuple(most * s for s in sway) for channel, most in far.items()},
            events=happenings(span),
        )
