"""Pieces too small to handle."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.forecast.outlines import Real
from splitpin.sheet.sheet import Row


def handle(known: Known) -> Iterator[Foreseen]:
    """Cut-outs that are smaller both ways than fingers can pick up, wherever they lie in the scene.

    One that grows is judged by its largest: the small sizes of a set last an exposure or two.
    """
    largest: dict[str, tuple[float, Row, Real]] = {}
    told: set[tuple[str, object]] = set()
    for row in known.sheet.rows:
        for placed in row.placed:
            if (placed.cutout, placed.matrix) in told or not len(known.hulls[placed.cutout]):
                continue
            told.add((placed.cutout, placed.matrix))
            hull = known.hulls[placed.cutout]
            size = float(np.ptp(hull, axis=0).max()) * abs(placed.matrix.determinant) ** 0.5
            if size > largest.get(placed.cutout, (0.0,))[0]:
                largest[placed.cutout] = (size, row, known.points(row, placed))
    for cutout, (size, row, points) in largest.items():
        if size < known.limits.handle_mm:
            words = (
                f"{cutout} is {size:.1f} mm at its widest",
                f"pieces of {known.limits.handle_mm:g} mm or more, which fingers can pick up",
                "take a larger field, join it to its neighbour, or keep tweezers and spares",
            )
            yield known.tell("handle", row, points, words, size_mm=size, cutout=cutout)
