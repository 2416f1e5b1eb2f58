"""Two links that reach for a point."""

from __future__ import annotations

from math import acos, atan2, degrees, hypot
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
    The law of cosines on the triangle of both links and the target.
    """
    if first <= 0 or second <= 0:
        raise ValueError(f"links must be longer than nought, found {first} and {second}")
    distance = hypot(x, y)
    far, near = first + second, abs(first - second)
    held = min(max(distance, near), far)
    bend = acos(max(-1.0, min(1.0, (held * held - first * first - second * second) / (2 * first * second))))
    if not left:
        bend = -bend
    towards = atan2(y, x)
    lean = 0.0
    if held > 0:
        inner = (held * held + first * first - second * second) / (2 * first * held)
        lean = acos(max(-1.0, min(1.0, inner)))
    return Reach(degrees(towards - (lean if left else -lean)), degrees(bend), abs(distance - held))
