"""Two links that reach for a point."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, sin, sqrt
from typing import NamedTuple


class Reach(NamedTuple):
    """How two links must turn."""

    first: float
    """Angle of the first link against the x axis, degrees anticlockwise."""
    second: float
    """Angle of the second link against the first, degrees anticlockwise."""
    short_by: float
    """How far the tip stays from the target, mm; nought when it gets there."""


def reach(first: float, second: float, x: float, y: float, *, left: bool = True) -> Reach:
    """Angles that bring the tip of two links, rooted at the origin, to ``(x, y)``.

    Parameters
    ----------
    first, second
        Lengths of the links, mm, above nought.
    x, y
        The target, mm.
    left
        Which of the two bends: True turns the second link anticlockwise, False clockwise.

    Returns
    -------
    Reach
        When the target is too far or too near the links lie straight or folded towards it and ``short_by``
        says what is missing.

    Raises
    ------
    ValueError
        When a link has no length.

    Notes
    -----
    The law of cosines on the triangle of both links and the target, for the tangent of half the bend, which
    keeps its digits where the links lie nearly straight or folded. The lean follows from the bend, so that
    the tip lies in the direction of the target whatever the bend has lost to rounding.
    """
    if first <= 0 or second <= 0:
        raise ValueError(f"links must be longer than nought, found {first} and {second}")
    distance = hypot(x, y)
    far, near = first + second, abs(first - second)
    held = min(max(distance, near), far)
    bend = 2 * atan2(sqrt((far - held) * (far + held)), sqrt((held - near) * (held + near)))
    towards = atan2(y, x)
    lean = atan2(second * sin(bend), first + second * cos(bend)) if held > 0 else 0.0
    turned = (towards - lean, bend) if left else (towards + lean, -bend)
    return Reach(degrees(turned[0]), degrees(turned[1]), abs(distance - held))
