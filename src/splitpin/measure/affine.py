"""Plane affine maps.

``x' = a·x + c·y + e`` and ``y' = b·x + d·y + f``: the six numbers in the order of SVG 1.1, 7.5. The maps
themselves know no direction of y; the conventions page says which plane is which.
"""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, radians, sin
from typing import NamedTuple


class Affine(NamedTuple):
    """A map of the plane onto itself or another plane."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def then(self, outer: Affine) -> Affine:
        """The map that does this one first and ``outer`` after it."""
        oa, ob, oc, od, oe, of = outer
        a, b, c, d, e, f = self
        return Affine(
            oa * a + oc * b,
            ob * a + od * b,
            oa * c + oc * d,
            ob * c + od * d,
            oa * e + oc * f + oe,
            ob * e + od * f + of,
        )

    def apply(self, x: float, y: float) -> tuple[float, float]:
        """Where the point ``(x, y)`` goes."""
        return (self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    @property
    def determinant(self) -> float:
        """The signed ratio of areas; negative when the map mirrors."""
        return self.a * self.d - self.b * self.c

    def inverse(self) -> Affine:
        """The map back.

        Raises
        ------
        ZeroDivisionError
            When the map flattens the plane to a line or a point.
        """
        a, b, c, d, e, f = self
        k = 1.0 / self.determinant
        return Affine(d * k, -b * k, -c * k, a * k, (c * f - d * e) * k, (b * e - a * f) * k)

    @property
    def angle(self) -> float:
        """The angle in degrees, anticlockwise with y up, by which the map turns the x axis."""
        return degrees(atan2(self.b, self.a))

    @property
    def stretch(self) -> float:
        """The length of the image of a unit step along x."""
        return hypot(self.a, self.b)


def move(x: float, y: float) -> Affine:
    """Shift by ``(x, y)``."""
    return Affine(e=x, f=y)


def turn(angle: float) -> Affine:
    """Turn by ``angle`` degrees about the origin: anticlockwise where y is up."""
    t = radians(angle)
    k, s = cos(t), sin(t)
    return Affine(k, s, -s, k, 0.0, 0.0)


def turn_about(angle: float, x: float, y: float) -> Affine:
    """Turn by ``angle`` degrees about the point ``(x, y)``."""
    return move(-x, -y).then(turn(angle)).then(move(x, y))


def stretch(sx: float, sy: float | None = None) -> Affine:
    """Scale by ``sx`` along x and ``sy`` (or ``sx``) along y; negative values mirror."""
    return Affine(sx, 0.0, 0.0, sx if sy is None else sy, 0.0, 0.0)
