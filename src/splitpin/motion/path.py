"""Ways over the table: straight, in an arc, along a curve, or as drawn.

A way is asked for places by fractions of its *length*, so that equal fractions are equal distances however it
bends. Fractions below 0 or above 1 (an easing that overshoots) go on past its ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import atan2, hypot
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from splitpin.motion.easing import Floats

Spot = tuple[float, float]
Whole = NDArray[np.int64]

NODES, WEIGHTS = np.polynomial.legendre.leggauss(8)
CLOSE = 1e-13
"""How nearly lengths of curves are known, as a share of the whole."""
FAIR = 1e-9
"""How near a guess must be for the next step of Newton's method to hit, as a share of the whole."""
THERE = 1e-14
"""How near is near enough, as a share of the whole."""
FINEST = 2.0**-30
"""No part of a curve is divided further than this, even at a cusp."""


class Way(Protocol):
    """A way from one place to another."""

    @property
    def length(self) -> float:
        """How long it is, mm."""

    def at(self, fractions: Sequence[float]) -> tuple[list[float], list[float]]:
        """The x and the y of the places at fractions of its length."""


class Straight(NamedTuple):
    """The straight way."""

    start: Spot
    end: Spot

    @property
    def length(self) -> float:
        """How long it is, mm."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    def at(self, fractions: Sequence[float]) -> tuple[list[float], list[float]]:
        """The x and the y of the places at fractions of its length."""
        f = np.asarray(fractions, dtype=np.float64)
        (x0, y0), (x1, y1) = self.start, self.end
        return _exactly(f, self.start, self.end, x0 + (x1 - x0) * f, y0 + (y1 - y0) * f)


class Arc(NamedTuple):
    """Part of a circle, told without its centre, which is far away when the arc is nearly flat."""

    start: Spot
    end: Spot
    length: float
    """How long it is, mm."""
    towards: float
    """The direction from its start to its end, radians anticlockwise."""
    sweep: float
    """How far round it goes, radians anticlockwise."""

    def at(self, fractions: Sequence[float]) -> tuple[list[float], list[float]]:
        """The x and the y of the places at fractions of its length.

        Notes
        -----
        The chord of an arc of length ``s`` that sweeps ``φ`` is ``s · sin(φ/2) / (φ/2)`` long and leaves at
        ``φ/2`` to the tangent.
        """
        f = np.asarray(fractions, dtype=np.float64)
        half = self.sweep * f / 2
        chord = self.length * f * np.sinc(half / np.pi)
        direction = self.towards - self.sweep / 2 + half
        x, y = self.start[0] + chord * np.cos(direction), self.start[1] + chord * np.sin(direction)
        return _exactly(f, self.start, self.end, x, y)


def arc(start: Spot, end: Spot, height: float) -> Way:
    """The arc of a circle from ``start`` to ``end`` whose middle lies ``height`` mm beside the straight way.

    A height above 0 bulges upwards, below 0 downwards (on an upright way: to the left and to the right). From
    a place back to itself it is a whole circle, ``height`` across.

    Notes
    -----
    Radius of a circle from the chord ``c`` and the height ``h`` of its segment: ``(c²/4 + h²) / 2h``.
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    half = hypot(dx, dy) / 2
    if abs(height) < 1e-12 * max(1.0, half):
        return Straight(start, end)
    left = dx > 0 or (dx == 0 and dy >= 0)
    bulge = height if left else -height
    sweep = 4 * atan2(abs(bulge), half)
    length = (half * half + bulge * bulge) / (2 * abs(bulge)) * sweep
    return Arc(start, end, length, atan2(dy, dx), -sweep if bulge > 0 else sweep)


class Curve:
    """Cubic Bézier curves end to end, measured along their length."""

    def __init__(self, cubics: Floats) -> None:
        """``cubics``: shape (count, 4, 2), each one's end the next one's start, mm."""
        self._power = _powers(cubics)
        self._start = (float(cubics[0, 0, 0]), float(cubics[0, 0, 1]))
        self._end = (float(cubics[-1, 3, 0]), float(cubics[-1, 3, 1]))
        self._before, self._after = _heading(cubics[0]), _heading(cubics[-1, ::-1])
        # A spline through drawn places turns sharply only at those places, which are ends of its cubics.
        self._measure(*_slowest(self._power[0]) if len(cubics) == 1 else _whole(len(cubics)))

    @property
    def length(self) -> float:
        """How long it is, mm."""
        return float(self._until[-1])

    def at(self, fractions: Sequence[float]) -> tuple[list[float], list[float]]:
        """The x and the y of the places at fractions of its length."""
        f = np.asarray(fractions, dtype=np.float64)
        if self.length == 0.0:
            return _exactly(
                f, self._start, self._end, np.full_like(f, self._start[0]), f * 0 + self._start[1]
            )
        within = np.clip(f, 0.0, 1.0)
        part, t = self._find(within * self.length)
        cubic = self._cubic[part]
        place = self._place(cubic, t)
        beyond = np.abs(f - within) * self.length
        if np.any(beyond):
            place = place + np.where((f < 0)[:, None], self._before, self._after) * beyond[:, None]
        return _exactly(f, self._start, self._end, place[:, 0], place[:, 1])

    def _place(self, cubic: Whole, t: Floats) -> Floats:
        c, s = self._power[cubic], t[..., None]
        return ((c[..., 3, :] * s + c[..., 2, :]) * s + c[..., 1, :]) * s + c[..., 0, :]

    def _pace(self, cubic: Whole, t: Floats) -> Floats:
        c, s = self._power[cubic], t[..., None]
        return (3 * c[..., 3, :] * s + 2 * c[..., 2, :]) * s + c[..., 1, :]

    def _lengths(self, cubic: Whole, low: Floats, high: Floats) -> Floats:
        # Gauss and Legendre's rule with eight nodes: exact for polynomials of degree 15.
        half = (high - low) / 2
        t = low[:, None] + half[:, None] * (NODES + 1)
        pace = self._pace(cubic[:, None], t)
        lengths: Floats = half * (np.hypot(pace[..., 0], pace[..., 1]) @ WEIGHTS)
        return lengths

    def _measure(self, cubic: Whole, low: Floats, high: Floats) -> None:
        whole = self._lengths(cubic, low, high)
        done: list[tuple[Floats, ...]] = []
        while len(cubic):
            middle = (low + high) / 2
            first, second = self._lengths(cubic, low, middle), self._lengths(cubic, middle, high)
            near = np.abs(whole - first - second) <= CLOSE * (float(whole.sum()) + 1e-300)
            near |= (high - low) < FINEST
            done.append((cubic[near].astype(np.float64), low[near], high[near], (first + second)[near]))
            far = ~near
            cubic = np.concatenate([cubic[far], cubic[far]])
            low, high = np.concatenate([low[far], middle[far]]), np.concatenate([middle[far], high[far]])
            whole = np.concatenate([first[far], second[far]])
        of, self._low, self._high, lengths = (np.concatenate(column) for column in zip(*done, strict=True))
        order = np.lexsort((self._low, of))
        self._cubic = of[order].astype(np.int64)
        self._low, self._high = self._low[order], self._high[order]
        self._until = np.concatenate([[0.0], np.cumsum(lengths[order])])

    def _find(self, lengths: Floats) -> tuple[Whole, Floats]:
        part = np.clip(np.searchsorted(self._until, lengths, side="right") - 1, 0, len(self._cubic) - 1)
        low, high, cubic = self._low[part], self._high[part], self._cubic[part]
        rest = lengths - self._until[part]
        whole = self._until[part + 1] - self._until[part]
        t = low + (high - low) * np.divide(rest, whole, out=np.zeros_like(rest), where=whole > 0)
        bottom, top = low.copy(), high.copy()
        left = np.arange(len(t))
        for _ in range(60):
            here = t[left]
            off = self._lengths(cubic[left], low[left], here) - rest[left]
            top[left], bottom[left] = (
                np.where(off > 0, here, top[left]),
                np.where(off > 0, bottom[left], here),
            )
            pace = np.hypot(*np.moveaxis(self._pace(cubic[left], here), -1, 0))
            newton = here - off / np.maximum(pace, 1e-300)
            within = (newton >= bottom[left]) & (newton <= top[left])
            there = np.abs(off) <= THERE * self.length
            t[left] = np.where(there, here, np.where(within, newton, (bottom[left] + top[left]) / 2))
            # A step at a good pace squares what was off, so a fair guess is the last that needs measuring.
            fair = within & (np.abs(off) <= FAIR * self.length) & (pace > self.length / 100)
            left = left[~(there | fair)]
            if not len(left):
                break
        return part, t


def bezier(start: Spot, controls: Sequence[Spot], end: Spot) -> Curve:
    """The Bézier curve with one control point (a parabola) or two (a cubic)."""
    p0, p3 = np.asarray(start, dtype=np.float64), np.asarray(end, dtype=np.float64)
    if len(controls) == 1:
        only = np.asarray(controls[0], dtype=np.float64)
        p1, p2 = p0 + (only - p0) * 2 / 3, p3 + (only - p3) * 2 / 3
    else:
        p1, p2 = (np.asarray(control, dtype=np.float64) for control in controls)
    return Curve(np.array([[p0, p1, p2, p3]]))


def drawn(places: Sequence[Spot]) -> Way:
    """A smooth way through all the places, in order.

    Notes
    -----
    The centripetal Catmull-Rom spline, which makes no loops or cusps of its own (Yuksel, Schaefer and Keyser,
    "Parameterization and applications of Catmull-Rom curves", 2011), written as cubic Bézier curves.
    """
    kept = [places[0]] + [b for a, b in pairwise(places) if a != b]
    if len(kept) < 3:
        return Straight(kept[0], kept[-1])
    p = np.asarray(kept, dtype=np.float64)
    p = np.vstack([2 * p[0] - p[1], p, 2 * p[-1] - p[-2]])
    gaps = np.diff(p, axis=0)
    d2 = np.hypot(gaps[:, 0], gaps[:, 1])[:, None]
    d = np.sqrt(d2)
    p0, p1, p2, p3 = p[:-3], p[1:-2], p[2:-1], p[3:]
    a, b, c, a2, b2, c2 = d[:-2], d[1:-1], d[2:], d2[:-2], d2[1:-1], d2[2:]
    first = (a2 * p2 - b2 * p0 + (2 * a2 + 3 * a * b + b2) * p1) / (3 * a * (a + b))
    second = (c2 * p1 - b2 * p3 + (2 * c2 + 3 * c * b + b2) * p2) / (3 * c * (c + b))
    return Curve(np.stack([p1, first, second, p2], axis=1))


def _powers(cubics: Floats) -> Floats:
    p0, p1, p2, p3 = (cubics[:, i] for i in range(4))
    return np.stack([p0, 3 * (p1 - p0), 3 * (p0 - 2 * p1 + p2), p3 - 3 * p2 + 3 * p1 - p0], axis=1)


def _whole(count: int) -> tuple[Whole, Floats, Floats]:
    return np.arange(count), np.zeros(count), np.ones(count)


def _slowest(power: Floats) -> tuple[Whole, Floats, Floats]:
    # Where a cubic is slowest it may turn on the spot; a part that ends just there is measured well.
    pace = np.stack([power[3] * 3, power[2] * 2, power[1]])
    speeds = np.convolve(pace[:, 0], pace[:, 0]) + np.convolve(pace[:, 1], pace[:, 1])
    change = np.polyder(speeds)
    # Leading rounding errors (of a parabola, say) would only ask for roots far away.
    real = np.abs(change) > 1e-12 * np.max(np.abs(change), initial=0.0)
    slow = np.roots(change[np.argmax(real) :]) if real.any() else np.empty(0)
    inner = sorted(float(t.real) for t in slow if abs(t.imag) < 1e-6 and 0 < t.real < 1)
    breaks = np.array([0.0, *inner, 1.0])
    return np.zeros(len(breaks) - 1, dtype=np.int64), breaks[:-1], breaks[1:]


def _heading(cubic: Floats) -> Floats:
    """The direction in which a curve, walked backwards, leaves its start."""
    away = cubic[0] - cubic[1:]
    far = np.hypot(away[:, 0], away[:, 1])
    first = int(np.argmax(far > 0))
    heading: Floats = away[first] / max(float(far[first]), 1e-300)
    return heading


def _exactly(f: Floats, start: Spot, end: Spot, x: Floats, y: Floats) -> tuple[list[float], list[float]]:
    # A way that ends a rounding error beside its goal would leave the piece there for the rest of the scene.
    at_start, at_end = f == 0.0, f == 1.0
    xs: list[float] = np.where(at_end, end[0], np.where(at_start, start[0], x)).tolist()
    ys: list[float] = np.where(at_end, end[1], np.where(at_start, start[1], y)).tolist()
    return xs, ys
