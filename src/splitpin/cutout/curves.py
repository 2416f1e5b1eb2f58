"""Closed lines of points as few smooth curves, and curves as points.

A curve is four points (4, 2): a cubic Bézier's ends and handles. A closed line is (n, 4, 2), each curve
beginning where the one before ends.
"""

from __future__ import annotations

from math import ceil, cos, radians, sqrt

import numpy as np
from numpy.typing import NDArray

Real = NDArray[np.float64]

CORNER = 45.0
"""Degrees that a line must turn within an arm to be a corner and not a bend."""
NO_BETTER = 0.9
"""A round that leaves more than this share of the largest distance is the last one."""
ARM = 3.0
"""How far along the line a corner's two arms reach, in units of its points (pixels)."""


def fit_closed(points: Real, tolerance: float, arm: float = ARM) -> Real:
    """Smooth curves through a closed line.

    Parameters
    ----------
    points
        (n, 2), n >= 3, in order; the last joins the first.
    tolerance
        How far from the curves a point may lie, in the points' unit; above 0.
    arm
        How far along the line its direction is measured: longer arms see through more noise.

    Returns
    -------
    ndarray
        (m, 4, 2). Neighbouring curves share their direction, but at corners.

    Notes
    -----
    Least-squares fit with chord-length parameters, improved by Newton's method, split where it is worst:
    P. J. Schneider, "An algorithm for automatically fitting digitized curves", Graphics Gems, 1990.
    """
    line = _Line(points, arm)
    found: list[Real] = []
    knots = line.knots()
    for first, last in zip(knots, [*knots[1:], knots[0] + line.count], strict=True):
        waiting = [(first, last)]
        while waiting:
            i, j = waiting.pop()
            curve, worst = _fit(line.between(i, j), line.leaving(i), line.arriving(j), tolerance)
            if worst is None:
                found.append(curve)
            else:
                waiting += [(i + worst, j), (i, i + worst)]
    return np.array(found)


def flatten(curves: Real, tolerance: float) -> Real:
    """A closed polygon (n, 2) that lies within ``tolerance`` of curves (m, 4, 2); it begins at their first
    point.

    The chord of a piece of a curve lies within |B''|/8n² of it, and |B''| is at most six times the larger
    second difference of the curve's points.
    """
    parts = []
    for curve in curves:
        bend = max(
            np.hypot(*(curve[0] - 2 * curve[1] + curve[2])), np.hypot(*(curve[1] - 2 * curve[2] + curve[3]))
        )
        n = max(1, ceil(sqrt(0.75 * float(bend) / tolerance)))
        parts.append(evaluate(curve, np.arange(n) / n))
    return np.concatenate(parts)


def evaluate(curve: Real, t: Real) -> Real:
    """Points (n, 2) of one curve at parameters 0..1."""
    s = 1 - t
    return np.asarray(np.stack([s**3, 3 * s * s * t, 3 * s * t * t, t**3], axis=1) @ curve)


def area(polygon: Real) -> float:
    """The signed area of a closed polygon; positive when it runs clockwise as seen with y down."""
    x, y = polygon[:, 0], polygon[:, 1]
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


class _Line:
    """A closed line, with its directions."""

    def __init__(self, points: Real, arm: float) -> None:
        points = np.asarray(points, np.float64)
        steps = np.hypot(*(np.roll(points, -1, axis=0) - points).T)
        kept = steps > 1e-9
        self.points, steps = points[kept], steps[kept]
        self.count = len(self.points)
        if self.count < 3:
            raise ValueError("a closed line needs three points that differ")
        self._at = np.concatenate([[0.0], np.cumsum(steps)])
        self._length = float(self._at[-1])
        arm = min(arm, self._length / 8)
        self._back = self._direction(-arm)
        self._on = self._direction(arm)
        self._arm = arm
        turned = np.sum(self._back * self._on, axis=1)
        self._corner = self._sharpest(turned)

    def knots(self) -> list[int]:
        """Where curves must begin: the corners, or four places when there are fewer than two."""
        corners = np.flatnonzero(self._corner)
        if len(corners) >= 2:
            return [int(c) for c in corners]
        start = int(corners[0]) if len(corners) else 0
        quarters = [(self._at[start] + self._length * k / 4) % self._length for k in range(4)]
        return sorted({start, *(int(np.searchsorted(self._at[:-1], q)) % self.count for q in quarters[1:])})

    def between(self, i: int, j: int) -> Real:
        """The points from one knot to another."""
        return np.asarray(self.points[np.arange(i, j + 1) % self.count])

    def leaving(self, i: int) -> Real:
        """The direction in which the line leaves a knot."""
        k = i % self.count
        return np.asarray(self._on[k]) if self._corner[k] else self._through(k)

    def arriving(self, j: int) -> Real:
        """The direction from a knot back along the line."""
        k = j % self.count
        return np.asarray(-self._back[k]) if self._corner[k] else -self._through(k)

    def _through(self, k: int) -> Real:
        both = np.asarray(self._on[k] + self._back[k])
        return both / max(float(np.hypot(*both)), 1e-12)

    def _direction(self, arm: float) -> Real:
        """The direction of the line between each point and the place an arm further on (or before)."""
        at = (self._at[:-1] + arm) % self._length
        closed = np.vstack([self.points, self.points[:1]])
        far = np.stack([np.interp(at, self._at, closed[:, k]) for k in (0, 1)], axis=1)
        way = (far - self.points) * np.sign(arm)
        return np.asarray(way / np.maximum(np.hypot(*way.T), 1e-12)[:, None])

    def _sharpest(self, turned: Real) -> NDArray[np.bool_]:
        """Corners: the sharpest turn within an arm on either side."""
        corner = np.zeros(self.count, np.bool_)
        at = self._at[:-1]
        for k in sorted(np.flatnonzero(turned < cos(radians(CORNER))), key=lambda k: float(turned[k])):
            apart = np.abs(at - at[k])
            near = np.minimum(apart, self._length - apart) < self._arm
            if not (corner & near).any():
                corner[k] = True
        return corner


def _fit(points: Real, leaving: Real, arriving: Real, tolerance: float) -> tuple[Real, int | None]:
    """One curve, and None, or the number of the point where it must be split."""
    chord = float(np.hypot(*(points[-1] - points[0])))
    if len(points) == 2:
        return np.array(
            [points[0], points[0] + leaving * chord / 3, points[1] + arriving * chord / 3, points[1]]
        ), None
    t = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    t /= t[-1]
    good, least = None, tolerance
    for _ in range(6):
        curve = _solve(points, t, leaving, arriving, chord)
        off = _apart(curve, points, t)
        worst = int(np.argmax(off))
        if good is not None and off[worst] > NO_BETTER * least:
            break
        if off[worst] <= tolerance:
            # Chord-length parameters draw a bend to its inner side: good enough is not yet best.
            good, least = curve, float(off[worst])
        elif off[worst] > 4 * tolerance + 1e-12:
            break
        t = _nearer(curve, points, t)
    return (curve, min(max(worst, 1), len(points) - 2)) if good is None else (good, None)


def _apart(curve: Real, points: Real, t: Real) -> Real:
    """How far the curve is from each point, or from the line just after it: it must not bulge in between."""
    off = np.asarray(np.hypot(*(evaluate(curve, t) - points).T))
    way = np.diff(points, axis=0)
    bulge = evaluate(curve, (t[1:] + t[:-1]) / 2) - (points[1:] + points[:-1]) / 2
    across = np.abs(way[:, 0] * bulge[:, 1] - way[:, 1] * bulge[:, 0]) / np.hypot(*way.T)
    off[:-1] = np.maximum(off[:-1], across)
    return off


def _solve(points: Real, t: Real, leaving: Real, arriving: Real, chord: float) -> Real:
    """Least squares for how long the two handles are."""
    s = 1 - t
    first, second = (3 * s * s * t)[:, None] * leaving, (3 * s * t * t)[:, None] * arriving
    fixed = (s**3 + 3 * s * s * t)[:, None] * points[0] + (3 * s * t * t + t**3)[:, None] * points[-1]
    rest = points - fixed
    aa, ab, bb = float(np.sum(first**2)), float(np.sum(first * second)), float(np.sum(second**2))
    ra, rb = float(np.sum(first * rest)), float(np.sum(second * rest))
    det = aa * bb - ab * ab
    long, short = chord * 1e-3, max(aa * bb, 1e-30) * 1e-9
    a = (ra * bb - rb * ab) / det if abs(det) > short else 0.0
    b = (rb * aa - ra * ab) / det if abs(det) > short else 0.0
    # A handle longer than its chord, or one that points backwards, throws a loop between the points.
    if not (long <= a <= 1.5 * chord and long <= b <= 1.5 * chord):
        a = b = chord / 3
    return np.array([points[0], points[0] + a * leaving, points[-1] + b * arriving, points[-1]])


def _nearer(curve: Real, points: Real, t: Real) -> Real:
    """One step of Newton's method towards the parameters of the nearest points of the curve."""
    s = (1 - t)[:, None]
    u = t[:, None]
    d1 = np.diff(curve, axis=0) * 3
    d2 = np.diff(d1, axis=0) * 2
    off = evaluate(curve, t) - points
    speed = s * s * d1[0] + 2 * s * u * d1[1] + u * u * d1[2]
    bend = s * d2[0] + u * d2[1]
    down = np.sum(speed**2 + off * bend, axis=1)
    step = np.where(np.abs(down) > 1e-12, np.sum(off * speed, axis=1) / np.where(down == 0, 1, down), 0)
    better = np.clip(t - step, 0.0, 1.0)
    better[0], better[-1] = 0.0, 1.0
    return np.maximum.accumulate(better)
