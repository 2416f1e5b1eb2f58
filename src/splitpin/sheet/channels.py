"""The channels of figures and of the view."""

from __future__ import annotations

from splitpin.character.figure import Figure
from splitpin.character.pose import Value, channels_of
from splitpin.measure.table import View

VIEW = "view"


def rest_of(figure: Figure) -> dict[str, Value]:
    """Every channel of a figure, at rest."""
    return channels_of(figure.character)


def channels_of_view(view: View) -> dict[str, Value]:
    """A view as channels."""
    return {"x": view.x, "y": view.y, "width": view.width, "angle": view.angle}
