"""Shapes to cut along: points in, masks out, smooth over one pixel."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
import numpy.typing as npt

from splitpin.example.paper import Mask

Points = Sequence[tuple[float, float]]
FINE = 16.0
"""Parts of a pixel that the points of a shape are rounded to."""


def rounded(points: Points, steps: int = 12) -> npt.NDArray[np.float64]:
    """A smooth closed curve through all points: centripetal Catmull-Rom (Barry and Goldman 1988), which makes
    neither loops nor overshoots where points lie close.
    """
    p = np.asarray(points, np.float64)
    before, start, end, after = (np.roll(p, k, axis=0) for k in (1, 0, -1, -2))

    def knot(a: npt.NDArray[np.float64], b: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        return np.asarray(np.maximum(np.sqrt(np.hypot(*(b - a).T)), 1e-6)[:, None])

    t1 = knot(before, start)
    t2 = t1 + knot(start, end)
    t3 = t2 + knot(end, after)
    pieces = []
    for k in range(steps):
        t = t1 + (t2 - t1) * (k / steps)
        a1 = before * (t1 - t) / t1 + start * t / t1
        a2 = start * (t2 - t) / (t2 - t1) + end * (t - t1) / (t2 - t1)
        a3 = end * (t3 - t) / (t3 - t2) + after * (t - t2) / (t3 - t2)
        b1 = a1 * (t2 - t) / t2 + a2 * t / t2
        b2 = a2 * (t3 - t) / (t3 - t1) + a3 * (t - t1) / (t3 - t1)
        pieces.append(b1 * (t2 - t) / (t2 - t1) + b2 * (t - t1) / (t2 - t1))
    return np.stack(pieces, axis=1).reshape(-1, 2)


def polygon(height: int, width: int, points: Points | npt.NDArray[np.float64]) -> Mask:
    """The inside of straight lines between points."""
    mask = np.zeros((height, width), np.uint8)
    corners = np.rint((np.asarray(points, np.float64) - 0.5) * FINE).astype(np.int32)
    cv2.fillPoly(mask, [corners], 255, cv2.LINE_AA, 4)
    return np.asarray(mask, np.float32) / 255.0


def blob(height: int, width: int, points: Points) -> Mask:
    """The inside of a smooth curve through points."""
    return polygon(height, width, rounded(points))


def ellipse(height: int, width: int, centre: tuple[float, float], radii: tuple[float, float]) -> Mask:
    """The inside of an upright ellipse."""
    t = np.linspace(0, 2 * np.pi, 180, endpoint=False)
    return polygon(
        height, width, np.stack([centre[0] + radii[0] * np.cos(t), centre[1] + radii[1] * np.sin(t)], 1)
    )


def bend(points: Points, steps: int = 48) -> npt.NDArray[np.float64]:
    """A line through two points, or the quadratic curve through three that passes the middle one half-way."""
    p = np.asarray(points, np.float64)
    t = np.linspace(0, 1, steps)[:, None]
    if len(p) == 2:
        return np.asarray(p[0] * (1 - t) + p[1] * t)
    middle = 2 * p[1] - (p[0] + p[2]) / 2
    return np.asarray((1 - t) ** 2 * p[0] + 2 * t * (1 - t) * middle + t**2 * p[2])


def scaled(points: Points, scale: float) -> list[tuple[float, float]]:
    """Points of a picture as pixels of a print of it, to a tenth, as recipes have them."""
    return [(round(x * scale, 1), round(y * scale, 1)) for x, y in points]


def ribbon(
    height: int, width: int, line: npt.NDArray[np.float64], half: float | npt.NDArray[np.float64]
) -> Mask:
    """The inside of a band along a line, so far to either side; ``half`` may differ along its points."""
    normal = np.gradient(line, axis=0)[:, ::-1] * np.array([-1.0, 1.0])
    normal /= np.maximum(np.hypot(*normal.T), 1e-9)[:, None]
    side = normal * np.broadcast_to(half, len(line))[:, None]
    return polygon(height, width, np.concatenate([line + side, (line - side)[::-1]]))


def stroke(height: int, width: int, points: Points, thick: float, taper: bool = False) -> Mask:
    """A line along :func:`bend`; with ``taper`` it runs out to nothing at its end."""
    line = bend(points)
    return ribbon(height, width, line, thick / 2 * (np.linspace(1, 0, len(line)) if taper else 1.0))
