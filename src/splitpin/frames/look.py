"""The look of real paper: the shadow that one layer throws on the next, from physical numbers."""

from __future__ import annotations

from math import cos, radians, sin, tan
from typing import Annotated

from pydantic import Field

from splitpin.measure.plain import Flag, Number, Plain, Positive


class PaperLook(Plain):
    """Thickness of the paper and place of the lamp."""

    shadows: Flag = False
    """Whether pieces throw shadows."""
    thickness_mm: Annotated[float, Field(strict=True, gt=0, le=20)] = 0.3
    """How far each layer lies above the one below: paper, glue and air, mm."""
    lamp_angle: Annotated[float, Field(strict=True, ge=5, le=90)] = 45.0
    """How high the lamp stands above the table, degrees."""
    lamp_from: Number = 135.0
    """Where the lamp stands, degrees anticlockwise from the right: 135 is top left."""
    lamp_distance_mm: Positive = 900.0
    """From the lamp to the table, mm."""
    lamp_width_mm: Positive = 60.0
    """How wide the lamp is: wider is softer, mm."""
    depth: Annotated[float, Field(strict=True, ge=0, le=1)] = 0.55
    """How dark the shadow is: 1 lets no light in from elsewhere."""

    def offset(self, lift: float) -> tuple[float, float]:
        """Where the shadow of an edge ``lift`` mm above the table falls, mm: ``lift / tan(angle)`` away from
        the lamp (plane trigonometry).
        """
        away = lift / tan(radians(self.lamp_angle))
        return -away * cos(radians(self.lamp_from)), -away * sin(radians(self.lamp_from))

    def penumbra(self, lift: float) -> float:
        """How wide the soft edge of that shadow is, mm: ``S·t / (D - t)`` for a lamp ``S`` wide at ``D``
        (similar triangles).
        """
        return self.lamp_width_mm * lift / (self.lamp_distance_mm - lift)
