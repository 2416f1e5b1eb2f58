"""Ways over the table: straight, in an arc, along a curve, or as drawn.

A way is asked for places by fractions of its *length*, so that equal fractions are equal distances however it
bends. Fractions below 0 or above 1 (an easing that overshoots) go on past its ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import hypot
from typing import NamedTuple, Protocol

import numpy as np

from splitpin.motion.easing import Floats

Spot = tuple[float, float]

NODES, WEIGHTS = np.polynomial.legendre.leggauss(12)
CLOSE = 1e-13
"""How nearly lengths of curves are known, as a share of the whole."""
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
    """Part of a circle."""

    start: Spot
    end: Spot
    centre: Spot
    radius: float
    begins: float
    """The angle at which it starts as seen from its centre, radians."""
    sweep: float
    """How far round it goes, radians anticlockwise."""

    @property
    def length(self) -> float:
        """How long it is, mm."""
        return self.radius * abs(self.sweep)

    def at(self, fractions: Sequence[float]) -> tuple[list[float], list[float]]:
        """The x and the y of the places at fractions of its length."""
        f = np.asarray(fractions, dtype=np.float64)
        angle = self.begins + self.sweep * f
        x = self.centre[0] + self.radius * np.cos(angle)
        y = self.centre[1] + self.radius * np.sin(angle)
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
    chord = hypot(dx, dy)
    if abs(height) < 1e-9 * max(1.0, chord):
        return Straight(start, end)
    ux, uy = (dx / chord, dy / chord) if chord else (1.0, 0.0)
    left = -uy, ux
    side = 1.0 if left[1] > 0 or (left[1] == 0 and left[0] < 0) else -1.0
    bulge = height * side
    radius = (chord * chord / 4 + bulge * bulge) / (2 * abs(bulge))
    towards = bulge - radius if bulge > 0 else bulge + radius
    centre = (
        start[0] + dx / 2 + left[0] * towards,
        start[1] + dy / 2 + left[1] * towards,
    )
    begins = float(np.arctan2(start[1] - centre[1], start[0] - centre[0]))
    sweep = 4 * float(np.arctan2(abs(bulge), chord / 2))
    return Arc(start, end, centre, radius, begins, -sweep if bulge > 0 else sweep)


class Curve:
    """Cubic Bézier curves end to end, measured along their length."""

    def __init__(self, cubics: Floats) -> None:
        """``cubics``: shape (count, 4, 2), each one's end the next one's start, mm."""
        self._power = _powers(cubics)
        self._start = (float(cubics[0, 0, 0]), float(cubics[0, 0, 1]))
        self._end = (float(cubics[-1, 3, 0]), float(cubics[-1, 3, 1]))
        self._measure(len(cubics))

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
        beyond = f - within
        if np.any(beyond):
            pace = self._pace(cubic, t)
            pace /= np.maximum(np.hypot(pace[:, 0], pace[:, 1]), 1e-300)[:, None]
            place = place + pace * (beyond * self.length)[:, None]
        return _exactly(f, self._start, self._end, place[:, 0], place[:, 1])

    def _place(self, cubic: np.ndarray[tuple[int, ...], np.dtype[np.int64]], t: Floats) -> Floats:
        c, s = self._power[cubic], t[..., None]
        return ((c[..., 3, :] * s + c[..., 2, :]) * s + c[..., 1, :]) * s + c[..., 0, :]

    def _pace(self, cubic: np.ndarray[tuple[int, ...], np.dtype[np.int64]], t: Floats) -> Floats:
        c, s = self._power[cubic], t[..., None]
        return (3 * c[..., 3, :] * s + 2 * c[..., 2, :]) * s + c[..., 1, :]

    def _lengths(
        self, cubic: np.ndarray[tuple[int, ...], np.dtype[np.int64]], low: Floats, high: Floats
    ) -> Floats:
        # Gauss and Legendre's rule with twelve nodes: exact for polynomials of degree 23.
        half = (high - low) / 2
        t = low[:, None] + half[:, None] * (NODES + 1)
        pace = self._pace(cubic[:, None], t)
        lengths: Floats = half * (np.hypot(pace[..., 0], pace[..., 1]) @ WEIGHTS)
        return lengths

    def _measure(self, count: int) -> None:
        cubic, low, high = np.arange(count), np.zeros(count), np.ones(count)
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

    def _find(self, lengths: Floats) -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.int64]], Floats]:
        part = np.clip(np.searchsorted(self._until, lengths, side="right") - 1, 0, len(self._cubic) - 1)
        low, high, cubic = self._low[part], self._high[part], self._cubic[part]
        rest = lengths - self._until[part]
        whole = self._until[part + 1] - self._until[part]
        t = low + (high - low) * np.divide(rest, whole, out=np.zeros_like(rest), where=whole > 0)
        bottom, top = low.copy(), high.copy()
        for _ in range(60):
            off = self._lengths(cubic, low, t) - rest
            top, bottom = np.where(off > 0, t, top), np.where(off > 0, bottom, t)
            pace = self._pace(cubic, t)
            newton = t - off / np.maximum(np.hypot(pace[:, 0], pace[:, 1]), 1e-300)
            following = np.where((newton >= bottom) & (newton <= top), newton, (bottom + top) / 2)
            still = float(np.max(np.abs(following - t), initial=0.0)) < 1e-14
            t = following
            if still:
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


def _exactly(f: Floats, start: Spot, end: Spot, x: Floats, y: Floats) -> tuple[list[float], list[float]]:
    # A way that ends a rounding error beside its goal would leave the piece there for the rest of the scene.
    at_start, at_end = f == 0.0, f == 1.0
    xs: list[float] = np.where(at_end, end[0], np.where(at_start, start[0], x)).tolist()
    ys: list[float] = np.where(at_end, end[1], np.where(at_start, start[1], y)).tolist()
    return xs, ys
