"""The one place where millimetres on the table meet pixels of the picture."""

from __future__ import annotations

from typing import NamedTuple

from splitpin.measure.affine import Affine, move, stretch, turn


class View(NamedTuple):
    """The rectangle of the table that the camera looks at; its shape is the picture's."""

    x: float = 0.0
    """Its centre on the table, mm."""
    y: float = 0.0
    """Its centre on the table, mm."""
    width: float = 400.0
    """How much of the table it takes in from left to right, mm."""
    angle: float = 0.0
    """How far the camera is tilted, degrees anticlockwise: the picture turns the other way."""


class Stage(NamedTuple):
    """A picture of so many pixels, over a field of so many millimetres."""

    width: int
    """Pixels."""
    height: int
    """Pixels."""
    field_mm: float
    """The width of the whole field on the table: what a view shows unless it says otherwise."""

    @property
    def field_height_mm(self) -> float:
        """The height of the field: the picture's shape."""
        return self.field_mm * self.height / self.width

    def whole(self) -> View:
        """The view that shows the whole field."""
        return View(0.0, 0.0, self.field_mm, 0.0)

    def to_pixels(self, view: View) -> Affine:
        """The map from the table (mm, y up) to the picture (pixels, y down, origin at the top left corner
        of the top left pixel, whose centre is therefore at (0.5, 0.5)).
        """
        k = self.width / view.width
        return (
            move(-view.x, -view.y)
            .then(turn(-view.angle))
            .then(stretch(k, -k))
            .then(move(self.width / 2, self.height / 2))
        )
