"""Stacks of pieces too deep for the focus, or with shadows too wide."""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.measure.affine import stretch
from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.forecast.outlines import COVERED
from splitpin.sheet.sheet import Row

ACROSS = 240
"""Places at which the stack is counted, from the left of the picture to its right."""
NEAREST = cv2.INTER_NEAREST | cv2.WARP_INVERSE_MAP


def stack(known: Known) -> Iterator[Foreseen]:
    """The exposure on which most pieces lie on one another, when that is higher than may be."""
    most = 0
    deepest: tuple[Row, NDArray[np.uint8]] | None = None
    before: Row | None = None
    for row in known.sheet.rows:
        if before is not None and before.placed is row.placed and before.view == row.view:
            continue
        before = row
        # So few pieces cannot be deeper, wherever they lie.
        if len(row.placed) <= most or len(row.placed) * known.limits.paper_mm <= known.limits.stack_mm:
            continue
        layers = _layers(known, row)
        if int(layers.max()) > most:
            most, deepest = int(layers.max()), (row, layers)
    high = most * known.limits.paper_mm
    if deepest is None or high <= known.limits.stack_mm:
        return
    row, layers = deepest
    ys, xs = np.nonzero(layers == most)
    points = np.column_stack([xs, ys]) * (known.stage.width / ACROSS)
    words = (
        f"{most} pieces lie on one another, {high:.1f} mm of paper",
        f"at most {known.limits.stack_mm:g} mm, for the focus and for shadows no wider than that",
        "glue together what moves together, use thinner paper, or notch what lies beneath",
    )
    yield known.tell("stack", row, points.astype(np.float64), words, layers=most, high_mm=high)


def _layers(known: Known, row: Row) -> NDArray[np.uint8]:
    """How many pieces lie at each place of a grid over the picture, uint8 (height, width)."""
    k = ACROSS / known.stage.width
    size = (ACROSS, max(1, round(known.stage.height * k)))
    to_grid = known.stage.to_pixels(row.view).then(stretch(k))
    layers = np.zeros(size[::-1], np.uint8)
    for placed in row.placed:
        matrix = placed.matrix.then(to_grid)
        if not matrix.determinant:
            continue
        a, b, c, d, e, f = matrix.inverse()
        # Pixels' centres lie at halves, where cv2 has them at whole numbers.
        back = np.array([[a, c, e + (a + c) / 2 - 0.5], [b, d, f + (b + d) / 2 - 0.5]])
        layers += cv2.warpAffine(known.alphas[placed.cutout], back, size, flags=NEAREST) >= COVERED
    return layers
