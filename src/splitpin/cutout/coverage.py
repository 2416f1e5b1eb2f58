"""How much of each pixel lies inside an outline, exactly."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Real = NDArray[np.float64]


def coverage(loops: Sequence[Real], width: int, height: int) -> NDArray[np.float32]:
    """The share of each pixel's square that lies inside closed polygons.

    Parameters
    ----------
    loops
        Polygons (n, 2), pixels, x right and y down from the corner of the first pixel; the last point joins
        the first. Holes run against the direction of the loop around them. They may leave the picture.
    width, height
        The picture, pixels.

    Returns
    -------
    ndarray
        float32 (height, width), 0..1. Exact but for rounding where no loop crosses another or itself.

    Notes
    -----
    Green's theorem, pixel by pixel: an edge crossing a pixel covers what lies to the right of it, in that
    pixel in part and in all pixels after it in its row by its height. Edges are cut at all pixel borders, and
    the rows are summed from the left.
    """
    loops = [np.asarray(loop, np.float64) for loop in loops if len(loop) > 2]
    if not loops:
        return np.zeros((height, width), np.float32)
    starts = np.concatenate(loops)
    ends = np.concatenate([np.roll(loop, -1, axis=0) for loop in loops])
    a, b = _cut_at_borders(starts, ends)
    middle, rise = (a + b) / 2, b[:, 1] - a[:, 1]
    row = np.floor(middle[:, 1]).astype(np.int64)
    inside = (row >= 0) & (row < height)
    x, row, rise = np.clip(middle[inside, 0], 0.0, float(width)), row[inside], rise[inside]
    column = np.floor(x).astype(np.int64)
    part = x - column
    cell, size = row * (width + 2) + column, height * (width + 2)
    sums = np.bincount(cell, rise * (1 - part), size)
    sums += np.bincount(cell + 1, rise * part, size)
    winding = np.abs(np.cumsum(sums.reshape(height, width + 2), axis=1)[:, :width])
    # Rounding must leave neither a veil over empty pixels nor a pinprick in full ones.
    return np.clip(np.round(winding, 9), 0.0, 1.0).astype(np.float32)


def _cut_at_borders(starts: Real, ends: Real) -> tuple[Real, Real]:
    """Edges cut wherever x or y is a whole number, so that each part lies in one pixel."""
    n = len(starts)
    along = ends - starts
    which, where = [np.arange(n), np.arange(n)], [np.zeros(n), np.ones(n)]
    for axis in (0, 1):
        low, high = np.minimum(starts, ends)[:, axis], np.maximum(starts, ends)[:, axis]
        first = np.floor(low) + 1
        count = np.maximum(np.ceil(high) - first, 0).astype(np.int64)
        edge = np.repeat(np.arange(n), count)
        nth = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
        which.append(edge)
        where.append((first[edge] + nth - starts[edge, axis]) / along[edge, axis])
    edges, t = np.concatenate(which), np.concatenate(where)
    order = np.lexsort((t, edges))
    edges, t = edges[order], t[order]
    points = starts[edges] + t[:, None] * along[edges]
    same = edges[1:] == edges[:-1]
    return points[:-1][same], points[1:][same]
