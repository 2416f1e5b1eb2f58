"""Where the edge of a cut-out runs, and how far from it each pixel lies, finer than pixels."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from skimage.measure import find_contours

from splitpin.cutout.coverage import coverage

Real = NDArray[np.float64]


def edge_loops(alpha: NDArray[np.uint8]) -> list[Real]:
    """The lines along which a cut-out is half covered.

    Parameters
    ----------
    alpha
        uint8 (height, width). A piece that reaches the border of the picture ends there.

    Returns
    -------
    list of ndarray
        Closed polygons (n, 2), pixels from the corner of the first one, y down; outer ones and holes run in
        opposite directions. For an edge of exact coverage they lie within 0.1 px of the true line.
    """
    padded = np.pad(alpha.astype(np.float64), 1)
    return [_closed(c) - 0.5 for c in _contours(padded, 127.5)]


def level_loops(distance: NDArray[np.float32], level: float, pad: int) -> list[Real]:
    """The closed lines that lie at a distance, of a field as :func:`signed_distance` gives it."""
    return [_closed(c) + 0.5 - pad for c in _contours(distance.astype(np.float64), level)]


def signed_distance(
    loops: Sequence[Real], width: int, height: int, low: float, high: float, pad: int = 0
) -> NDArray[np.float32]:
    """How far each pixel's centre is from the nearest line; less than 0 inside.

    Parameters
    ----------
    loops
        Closed polygons of short edges (a pixel or two), as :func:`edge_loops` gives them.
    width, height
        The picture, pixels.
    low, high
        Pixels whose distance lies between these (px) are measured to the lines themselves; others to within a
        pixel.
    pad
        Pixels added on every side.

    Returns
    -------
    ndarray
        float32 (height + 2·pad, width + 2·pad), pixels. Far away everywhere when there are no loops.
    """
    size = (height + 2 * pad, width + 2 * pad)
    if not loops:
        return np.full(size, 1e6, np.float32)
    moved = [loop + pad for loop in loops]
    inside = coverage(moved, size[1], size[0]) >= 0.5
    # A piece that reaches the border ends there, though no pixel beyond it says so.
    within = _to_others(np.pad(inside, 1))[1:-1, 1:-1]
    coarse = np.where(inside, -within, _to_others(~inside)).astype(np.float32)
    ys, xs = np.nonzero((coarse > low - 2) & (coarse < high + 2))
    if len(ys):
        near = _to_lines(moved, np.stack([xs + 0.5, ys + 0.5], axis=1))
        coarse[ys, xs] = np.where(inside[ys, xs], -near, near)
    return coarse


def _to_others(mask: NDArray[np.bool_]) -> NDArray[np.float32]:
    if mask.all():
        return np.full(mask.shape, 1e6, np.float32)
    found = cv2.distanceTransform(mask.astype(np.uint8), cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    return np.asarray(np.maximum(found - 0.5, 0), np.float32)


def _to_lines(loops: Sequence[Real], places: Real) -> Real:
    """From each place to the nearest of the edges that meet at the few corners nearest to it."""
    here = np.concatenate(loops)
    after = np.concatenate([np.roll(loop, -1, axis=0) for loop in loops])
    before = np.concatenate([np.roll(loop, 1, axis=0) for loop in loops])
    _, nearest = cKDTree(here).query(places, k=min(3, len(here)))
    best = np.full(len(places), np.inf)
    for k in np.asarray(nearest).reshape(len(places), -1).T:
        for other in (after, before):
            a, along = here[k], other[k] - here[k]
            long = np.maximum(np.sum(along**2, axis=1), 1e-18)
            t = np.clip(np.sum((places - a) * along, axis=1) / long, 0, 1)
            best = np.minimum(best, np.hypot(*(places - a - t[:, None] * along).T))
    return best


def _contours(field: Real, level: float) -> list[Real]:
    found: list[Real] = find_contours(field, level)  # type: ignore[no-untyped-call]
    return found


def _closed(contour: Real) -> Real:
    """A contour (row, column) as (x, y), its last point not repeated."""
    return np.ascontiguousarray(contour[:-1, ::-1], np.float64)
