"""Easing: how a way is shared out over exposures.

The names follow the animator, who slows *out* of one position and *in* to the next. The cubic curves are
those of CSS Easing Functions Level 1, section 2.2, where ``ease-in`` means the slow start (here
``slow-out``).
"""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from splitpin.measure.plain import Number

Floats = NDArray[np.float64]

NamedEase = Literal[
    "even",
    "taper",
    "slow-out",
    "slow-in",
    "slow-in-out",
    "brisk",
    "swing",
    "fall",
    "rise",
    "start-stop",
]
Within = Annotated[float, Field(strict=True, ge=0, le=1)]
Controls = tuple[Within, Number, Within, Number]
Ease = NamedEase | Controls
"""A named easing, or the control numbers ``[x1, y1, x2, y2]`` of a cubic curve from (0, 0) to (1, 1)."""

CUBIC: dict[str, tuple[float, float, float, float]] = {
    "slow-out": (0.42, 0.0, 1.0, 1.0),
    "slow-in": (0.0, 0.0, 0.58, 1.0),
    "slow-in-out": (0.42, 0.0, 0.58, 1.0),
    "brisk": (0.25, 0.1, 0.25, 1.0),
}
"""Control numbers of ``ease-in``, ``ease-out``, ``ease-in-out`` and ``ease`` (CSS Easing 1, 2.2)."""

EASES: dict[str, str] = {
    "even": "Equal steps.",
    "taper": "Equal steps but for three smaller ones at each end, a quarter, a half and three quarters long.",
    "slow-out": "Leaves slowly, arrives at full speed.",
    "slow-in": "Leaves at full speed, arrives slowly.",
    "slow-in-out": "Leaves slowly and arrives slowly.",
    "brisk": "Leaves briskly and takes its time to arrive.",
    "swing": "As a pendulum swings from one side to the other.",
    "fall": "Falls from rest: the steps grow 1:3:5.",
    "rise": "Thrown up until it rests: the steps shrink 5:3:1.",
    "start-stop": "Gains speed evenly half the way, loses it evenly over the other half.",
}
"""Each named easing in one line."""

TAPER = 4
"""The size of a full step against the first one of a taper."""


def ease_at(ease: Ease, x: Floats) -> Floats:
    """How much of the way is done when the share ``x`` of the time is over.

    Parameters
    ----------
    ease
        The easing. ``taper`` counts steps and is even here; :func:`fractions` knows it.
    x
        Shares of the time, 0 to 1, any shape.

    Notes
    -----
    ``swing`` is ``(1 - cos πx) / 2``; ``fall`` is constant acceleration from rest, ``x²``; ``start-stop`` is
    constant acceleration and then constant deceleration.
    """
    if ease in ("even", "taper"):
        return x
    if ease == "swing":
        return (1 - np.cos(np.pi * x)) / 2
    if ease == "fall":
        return x * x
    if ease == "rise":
        return 1 - (1 - x) ** 2
    if ease == "start-stop":
        return np.where(x < 0.5, 2 * x * x, 1 - 2 * (1 - x) ** 2)
    return _cubic(CUBIC[ease] if isinstance(ease, str) else ease, x)


@lru_cache(maxsize=512)
def fractions(ease: Ease, count: int) -> tuple[float, ...]:
    """How much of the way is done after each of ``count`` exposures; the last has done exactly all of it.

    >>> [round(f * 100) for f in fractions("fall", 10)]
    [1, 4, 9, 16, 25, 36, 49, 64, 81, 100]
    """
    if count < 1:
        return ()
    ks = np.arange(1, count + 1, dtype=np.float64)
    if ease == "taper":
        done = np.cumsum(np.minimum(np.minimum(ks, count + 1 - ks), TAPER))
        eased = done / done[-1]
    else:
        eased = ease_at(ease, ks / count)
    return (*eased[:-1].tolist(), 1.0)


def _cubic(controls: tuple[float, float, float, float], x: Floats) -> Floats:
    x1, y1, x2, y2 = controls
    return _bernstein(y1, y2, _parameter(x1, x2, x))


def _bernstein(p1: float, p2: float, t: Floats) -> Floats:
    u = 1 - t
    return 3 * u * u * t * p1 + 3 * u * t * t * p2 + t * t * t


def _parameter(x1: float, x2: float, x: Floats) -> Floats:
    # Newton's method is quick but leaves the curve where it is steep or flat; halving the bracket never does.
    low, high, t = np.zeros_like(x), np.ones_like(x), x.copy()
    for _ in range(60):
        off = _bernstein(x1, x2, t) - x
        high, low = np.where(off > 0, t, high), np.where(off > 0, low, t)
        slope = 3 * (1 - t) ** 2 * x1 + 6 * (1 - t) * t * (x2 - x1) + 3 * t * t * (1 - x2)
        newton = t - off / np.where(slope > 1e-12, slope, 1e-12)
        following = np.where((newton >= low) & (newton <= high), newton, (low + high) / 2)
        still = float(np.max(np.abs(following - t), initial=0.0)) < 1e-15
        t = following
        if still:
            break
    return t
