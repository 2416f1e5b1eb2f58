"""Sharing exposures out among the parts of a move."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from splitpin.motion.easing import Ease, fractions


def share(count: int, weights: Sequence[float], least: int = 0) -> list[int]:
    """Share whole exposures out in proportion to weights, as nearly as whole numbers allow.

    The parts add up to ``count`` exactly. Each has at least ``least`` of them, if there are enough.

    >>> share(10, [2, 5, 1, 2])
    [2, 5, 1, 2]
    >>> share(5, [3, 1, 1], least=1)
    [3, 1, 1]
    """
    total = sum(weights)
    if count < least * len(weights):
        least = 0
    ideal = [count * weight / total for weight in weights]
    parts = [max(least, int(part + 1e-9)) for part in ideal]
    # One pass over the parts, those that are owed most first, settles what rounding left over or borrowed.
    while (left := count - sum(parts)) != 0:
        owed = sorted(range(len(parts)), key=lambda i: ideal[i] - parts[i], reverse=left > 0)
        if left > 0:
            for i in owed[:left]:
                parts[i] += 1
        else:
            for i in [i for i in owed if parts[i] > least][:-left]:
                parts[i] -= 1
    return parts


def through(points: Sequence[float], counts: Sequence[int], eases: Sequence[Ease]) -> list[float]:
    """Values that go from point to point.

    Parameters
    ----------
    points
        Where the values start (not shown itself) and the points they reach, one more than there are parts.
    counts
        Exposures of each part; a part of none is left out.
    eases
        The easing of each part.

    Returns
    -------
    list of float
        One value an exposure; the last of each part is exactly its point.

    >>> through([0, 8, 0], [2, 1], ["even", "even"])
    [4.0, 8.0, 0.0]
    """
    values: list[float] = []
    for start, end, count, ease in zip(points, points[1:], counts, eases, strict=False):
        values += blend(start, end, fractions(ease, count))
    return values


def blend(start: float, end: float, shares: Sequence[float]) -> list[float]:
    """The values at the given shares of the way from ``start`` to ``end``; a share of 1 is the end."""
    way = end - start
    return [float(end) if f == 1.0 else start + way * f for f in shares]


def ratio(start: float, end: float, shares: Sequence[float]) -> list[float]:
    """As :func:`blend`, but equal shares are equal ratios: the logarithm is what is shared out."""
    way = end / start
    return [float(end) if f == 1.0 else start * way**f for f in shares]


def ends_of(counts: Sequence[int]) -> list[int]:
    """The last exposure of each part, when the parts follow one another."""
    return [end - 1 for end in accumulate(counts)]
