"""Holes that a move will uncover: where the table shows that should be covered."""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.sheet.forecast.known import Foreseen, Known, Mask
from splitpin.sheet.sheet import Row


def holes(known: Known) -> Iterator[Foreseen]:
    """Every hole of the scene, on the exposure on which most of it is open.

    A hole is a connected part of all that the table shows of itself through the scene. A scene that has no
    background and opens with bare table is meant to show it.
    """
    if known.bare or not known.sheet.rows or _meant(known):
        return
    every = uncovered(known)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(every.astype(np.uint8), connectivity=8)
    if count == 1:
        return
    open_mm2 = np.zeros(count)
    widest: dict[int, tuple[float, Row]] = {}
    for row in _distinct(known):
        shown = known.uncovered(row)
        mm = row.view.width / known.stage.width
        areas = np.bincount(labels[shown], minlength=count) * mm**2
        for n in np.flatnonzero(areas > open_mm2).tolist():
            widest[n] = (float(areas[n]), row)
        open_mm2 = np.maximum(open_mm2, areas)
    for n, (mm2, row) in sorted(widest.items(), key=lambda found: -found[1][0]):
        if n == 0 or mm2 < known.limits.hole_mm2:
            continue
        words = (
            f"the table shows through a hole of {mm2:.0f} mm²",
            "paper everywhere in the picture",
            "mend the background there, make it larger, or let what moves away be covered by something else",
        )
        yield known.tell("holes", row, _corners(stats[n]), words, hole_mm2=mm2)


def uncovered(known: Known) -> Mask:
    """Where the table shows on any exposure: bool (height, width) of the picture."""
    every = np.zeros((known.stage.height, known.stage.width), np.bool_)
    for row in _distinct(known):
        every |= known.uncovered(row)
    return every


def _filled(known: Known, row: Row) -> bool:
    """Whether one opaque cut-out fills the picture, so that nothing need be drawn to know what shows."""
    back = known.stage.to_pixels(row.view).inverse()
    frame = [back.apply(x, y) for x in (0, known.stage.width) for y in (0, known.stage.height)]
    for placed in row.placed:
        if placed.cutout not in known.opaque or not placed.matrix.determinant:
            continue
        height, width = known.alphas[placed.cutout].shape
        into = placed.matrix.inverse()
        places = [into.apply(x, y) for x, y in frame]
        if all(0 <= x <= width and 0 <= y <= height for x, y in places):
            return True
    return False


def _meant(known: Known) -> bool:
    if known.scene.background is not None:
        return False
    return float(known.uncovered(known.sheet.rows[0]).mean()) > known.limits.bare


def _distinct(known: Known) -> Iterator[Row]:
    """The rows that differ, as far as anything of the table can show on them."""
    seen: set[tuple[int, object]] = set()
    for row in known.sheet.rows:
        if (id(row.placed), row.view) not in seen:
            seen.add((id(row.placed), row.view))
            if not _filled(known, row):
                yield row


def _corners(stat: NDArray[np.int32]) -> NDArray[np.float64]:
    x, y, width, height = (float(v) for v in stat[:4])
    return np.array([[x, y], [x + width, y], [x + width, y + height], [x, y + height]])
