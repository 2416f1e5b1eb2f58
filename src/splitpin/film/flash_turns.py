"""What turned together, often enough to be flashing."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.measure.compiled import kernel

NEARBY = 5
"""Nearby is one part of so many of a field's width and height. Our choice, no source."""
MOSTLY = 3.0
"""So many times as many turn one way as the other. Our choice, no source."""
RING = 32
"""Turns of a cell that are remembered: more than 16 flashes in a second are counted as 16."""


class Turns:
    """The turns of each cell that were shared by enough others to be a change of the picture.

    A cell also turns when an edge passes over it, as in every pan. Only what many cells of one field do at
    the same time can be a flash, and only where those nearby that turn go the same way: over a texture that
    moves as many grow lighter as darker, and WCAG 2.2 exempts such balanced patterns where they are fine.

    Parameters
    ----------
    rows, columns
        Of the cells.
    field
        Columns and rows of a field.
    share
        Of a field: the part that must be gone beyond.

    Attributes
    ----------
    counts
        Shared turns of each cell within the last second, each against the one before: uint8 (rows, columns).
    """

    def __init__(self, rows: int, columns: int, field: tuple[int, int], share: float) -> None:
        shape = rows, columns
        self.counts = np.zeros(shape, np.uint8)
        self._field, self._most = field, share
        self._ring = np.zeros((*shape, RING), np.int32)
        self._heads = np.zeros(shape, np.uint8)
        self._last = np.zeros(shape, np.int8)
        self._when = np.full(shape, -1, np.int32)
        self._way = np.zeros(shape, np.int8)

    def see(self, turned: NDArray[np.int8], frame: int, together: int, oldest: int) -> None:
        """Take in what turned at a frame.

        Parameters
        ----------
        turned
            int8 (rows, columns): 1, -1, or 0 for what did not turn.
        frame
            Its number.
        together
            The first frame whose turns are taken to be at the same time as this one's.
        oldest
            The first frame that is less than a second older.
        """
        if self.counts.any():
            _forget(self.counts, self._ring, self._heads, oldest)
        if not turned.any():
            return
        np.copyto(self._when, frame, where=turned != 0)
        np.copyto(self._way, turned, where=turned != 0)
        recent = self._when >= together
        ups, downs = recent & (self._way == 1), recent & (self._way == -1)
        for way, cells in zip((1, -1), self._apart(ups, downs), strict=True):
            many = self._many(cells)
            if many is not None:
                _count(many, way, self._when, self._last, self.counts, self._ring, self._heads)
                self._when[many] = -1

    def share(self, cells: NDArray[np.bool_]) -> float:
        """The largest part of a field, 0 to 1, that is made of these cells."""
        return float(self._shares(cells).max())

    def since(self, turns: int) -> NDArray[np.int32]:
        """The frame of each cell's turn so many turns ago, 1 for the latest; only where it had as many."""
        at = (self._heads.astype(np.int32) - turns) % RING
        return np.take_along_axis(self._ring, at[..., None], axis=2)[..., 0]

    def _apart(
        self, ups: NDArray[np.bool_], downs: NDArray[np.bool_]
    ) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
        """Those round which few turn the other way."""
        if not (ups.any() and downs.any()):
            return ups, downs
        size = tuple(max(1, 2 * (side // (2 * NEARBY)) + 1) for side in self._field)
        up, down = (
            cv2.boxFilter(cells.astype(np.float32), -1, size, borderType=cv2.BORDER_ISOLATED)
            for cells in (ups, downs)
        )
        return np.logical_and(ups, up > MOSTLY * down), np.logical_and(downs, down > MOSTLY * up)

    def _many(self, cells: NDArray[np.bool_]) -> NDArray[np.bool_] | None:
        """Those of the cells that lie in a field with enough of them."""
        wide, high = self._field
        if np.count_nonzero(cells) <= self._most * wide * high:
            return None
        full = self._shares(cells) > self._most
        if not full.any():
            return None
        # Each field that is full enough, painted out: a cell is in one when one starts not far before it.
        starts = np.zeros((cells.shape[0] + 1, cells.shape[1] + 1), np.uint8)
        starts[: full.shape[0], : full.shape[1]] = full
        there = cv2.dilate(starts, np.ones((high, wide), np.uint8), anchor=(wide - 1, high - 1))
        return np.logical_and(cells, there[:-1, :-1])

    def _shares(self, cells: NDArray[np.bool_]) -> NDArray[np.float64]:
        wide, high = self._field
        sums = cv2.integral(cells.astype(np.uint8))
        inside = sums[high:, wide:] - sums[:-high, wide:] - sums[high:, :-wide] + sums[:-high, :-wide]
        return np.asarray(inside / (wide * high))


@kernel
def _forget(
    counts: NDArray[np.uint8], ring: NDArray[np.int32], heads: NDArray[np.uint8], oldest: int
) -> None:
    rows, columns = counts.shape
    for y in range(rows):
        for x in range(columns):
            while counts[y, x] > 0 and ring[y, x, (heads[y, x] - counts[y, x]) % RING] < oldest:
                counts[y, x] -= 1


@kernel
def _count(
    cells: NDArray[np.bool_],
    way: int,
    when: NDArray[np.int32],
    last: NDArray[np.int8],
    counts: NDArray[np.uint8],
    ring: NDArray[np.int32],
    heads: NDArray[np.uint8],
) -> None:
    rows, columns = counts.shape
    for y in range(rows):
        for x in range(columns):
            if cells[y, x] and last[y, x] != way:
                last[y, x] = way
                ring[y, x, heads[y, x]] = when[y, x]
                heads[y, x] = (heads[y, x] + 1) % RING
                counts[y, x] = min(RING, counts[y, x] + 1)
