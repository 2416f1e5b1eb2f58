"""Where the members of a scene lie in the picture: the convex hulls of what is opaque of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.measure.affine import Affine
from splitpin.measure.table import Stage
from splitpin.sheet.sheet import Row

Real = NDArray[np.float64]
Outlines = Mapping[str, Real]
"""The corners of all pieces of each member that shows, (n, 2) in pixels of the picture."""
COVERED = 128
"""Alpha from which a pixel counts as paper."""


def hull(alpha: NDArray[np.uint8]) -> Real:
    """The convex hull of what is opaque of a cut-out.

    Parameters
    ----------
    alpha
        uint8 (height, width).

    Returns
    -------
    ndarray
        (n, 2) in its pixels, corners of pixels; (0, 2) when nothing is opaque.
    """
    paper = alpha >= COVERED
    rows = np.flatnonzero(paper.any(axis=1))
    if not rows.size:
        return np.empty((0, 2))
    first = paper[rows].argmax(axis=1)
    last = alpha.shape[1] - paper[rows, ::-1].argmax(axis=1)
    corners = [np.column_stack([x, y]) for x in (first, last) for y in (rows, rows + 1)]
    found: Real = cv2.convexHull(np.concatenate(corners).astype(np.int32))[:, 0].astype(np.float64)
    return found


def mapped(points: Real, matrix: Affine) -> Real:
    """Points (n, 2) under a map."""
    a, b, c, d, e, f = matrix
    there: Real = points @ np.array([[a, b], [c, d]]) + np.array([e, f])
    return there


def outlines_of(rows: Sequence[Row], stage: Stage, hulls: Mapping[str, Real]) -> tuple[Outlines, ...]:
    """Where each member lies in the picture on each row; rows that show the same share theirs.

    Parameters
    ----------
    rows
        The sheet's rows.
    stage
        The picture over the field.
    hulls
        The hull of each cut-out in its pixels.
    """
    found: list[Outlines] = []
    before: Row | None = None
    for row in rows:
        if before is not None and before.placed is row.placed and before.view == row.view:
            found.append(found[-1])
            continue
        to_pixels = stage.to_pixels(row.view)
        parts: dict[str, list[Real]] = {}
        for placed in row.placed:
            parts.setdefault(placed.who, []).append(
                mapped(hulls[placed.cutout], placed.matrix.then(to_pixels))
            )
        found.append({who: np.concatenate(several) for who, several in parts.items()})
        before = row
    return tuple(found)


def shows(points: Real | None, stage: Stage) -> bool:
    """Whether the box around points (n, 2) lies within the picture, in part at least."""
    if points is None or not len(points):
        return False
    low, high = points.min(axis=0), points.max(axis=0)
    return bool((high > 0).all() and low[0] < stage.width and low[1] < stage.height)


def over(points: Real, stage: Stage, inset: float = 0.0) -> float:
    """How far points reach past the edges of the picture, pixels; below 0 when they keep clear of them.

    Parameters
    ----------
    points
        (n, 2) in pixels.
    stage
        The picture.
    inset
        Edges so much further in, as a share of its width and height.
    """
    low, high = points.min(axis=0), points.max(axis=0)
    x, y = stage.width * inset, stage.height * inset
    return float(max(x - low[0], high[0] - stage.width + x, y - low[1], high[1] - stage.height + y))
