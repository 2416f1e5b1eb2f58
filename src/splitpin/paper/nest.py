"""Lay shapes on as few pages as is reasonable: the largest first, each where it touches most.

Shapes and pages are looked at on a fine grid. A shape takes every cell whose middle is nearer to it than
half the clearance and half a cell's diagonal; two shapes that take no cell in common are therefore never
nearer to one another than the clearance. Where a shape is free to lie is one correlation; how much of its
edge touches others or the page's edge there is a second. (Packers of boxes measure touching perimeters like
this: Lodi, Martello and Vigo 1999, from memory.)
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import ceil, floor, hypot
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.fft import irfft2, next_fast_len, rfft2
from shapely import Polygon, box, get_parts
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

CELL = 0.5
"""mm."""
TURNS = tuple(range(0, 360, 30))
"""Degrees that a shape is tried at."""
ROUGH = 0.05
"""How far a shape is simplified before it is laid, mm."""
TRIES = 2
"""How often all is laid again, what was left over sooner, when that could save a page."""
DENSE = 0.8
"""No pages of such shapes are filled more than that."""
RIM = 2
"""How far cells may lie apart that touch."""
Grid = NDArray[np.bool_]
Spectrum = NDArray[np.complex64]


class Tag(NamedTuple):
    """A label beside a shape, upright, mm."""

    width: float
    height: float


class Spot(NamedTuple):
    """Where a shape lies."""

    page: int
    x: float
    """Of the left of the turned shape's bounds, mm from the page's left."""
    y: float
    """Of the bottom of them."""
    angle: int
    """Degrees anticlockwise about the shape's origin."""
    tag: tuple[float, float]
    """The lower left corner of its label."""


class _Stamp(NamedTuple):
    """A shape at an angle, on the grid."""

    angle: int
    width: float
    """With its label, mm."""
    height: float
    cells: Grid
    rim: Grid
    """The cells round them, in a grid that is wider by :data:`RIM` on each side."""
    tag: tuple[float, float]
    """The lower left corner of its label, mm from that of both."""
    shift: tuple[float, float]
    """The lower left corner of the shape's own bounds, mm from that of both."""


class _Paper:
    """A page: what is taken.

    Parameters
    ----------
    size
        Rows and columns.
    edge
        So many rows and columns on each side lie beyond what may be used.
    """

    def __init__(self, size: tuple[int, int], edge: int) -> None:
        self.taken = np.zeros(size, np.bool_)
        # What lies outside touches, as others do.
        self._touching = np.pad(self.taken, RIM, constant_values=True)
        for side in (np.s_[: edge + RIM], np.s_[-edge - RIM :]):
            self._touching[side] = True
            self._touching[:, side] = True
        self._seen: tuple[Spectrum, Spectrum] | None = None
        self.refused: set[tuple[int, Tag]] = set()

    def take(self, cells: Grid, row: int, column: int) -> None:
        h, w = cells.shape
        self.taken[row : row + h, column : column + w] |= cells
        self._touching[row + RIM : row + RIM + h, column + RIM : column + RIM + w] |= cells
        self._seen = None

    def look(self, stamp: _Stamp, fast: tuple[int, int]) -> NDArray[np.float32]:
        """For each row and column the share of a stamp's rim that would touch something there; below 0 where
        the stamp would meet something.
        """
        if self._seen is None:
            self._seen = _spectrum(self.taken, fast), _spectrum(self._touching, fast)
        rows, columns = (a - b + 1 for a, b in zip(self.taken.shape, stamp.cells.shape, strict=True))
        inside = np.s_[: max(0, rows), : max(0, columns)]

        def met(seen: Spectrum, mine: Grid) -> NDArray[np.float32]:
            return np.asarray(irfft2(seen * np.conj(_spectrum(mine, fast)), fast)[inside])

        free = met(self._seen[0], stamp.cells) < 0.5
        if not free.any():
            return np.full(free.shape, -1.0, np.float32)
        touching = met(self._seen[1], stamp.rim) / stamp.rim.sum()
        return np.where(free, np.round(touching, 3), np.float32(-1.0))


def _spectrum(cells: Grid, fast: tuple[int, int]) -> Spectrum:
    return np.asarray(rfft2(cells.astype(np.float32), fast))


class Nest:
    """Pages of one size with shapes on them.

    Parameters
    ----------
    width, height
        Of a page, mm.
    clearance
        The least distance between shapes, mm.
    """

    def __init__(self, width: float, height: float, clearance: float) -> None:
        self.width, self.height = width, height
        self._reach = clearance / 2 + ROUGH + CELL * hypot(1, 1) / 2
        self._pad = ceil(self._reach / CELL) + 1
        self._size = ceil(height / CELL) + 2 * self._pad, ceil(width / CELL) + 2 * self._pad
        self._edge = max(0, self._pad - ceil(self._reach / CELL))
        wide, high = (next_fast_len(n + 2 * RIM, real=True) for n in self._size)
        self._fast = wide, high
        self._pages: list[_Paper] = []
        self.pages = 0
        """How many were needed."""

    def lay(self, shapes: Sequence[tuple[BaseGeometry, Tag]]) -> list[Spot]:
        """Lay shapes with their labels; spots come in the order of the shapes.

        Copies (the same object with the same label) are looked at once.

        Raises
        ------
        ValueError
            When one does not fit on a page at all.
        """
        keys = [(id(shape), tag) for shape, tag in shapes]
        stamps: dict[tuple[int, Tag], list[_Stamp]] = {}
        for key, (shape, tag) in zip(keys, shapes, strict=True):
            if key not in stamps:
                stamps[key] = list(self._stamps(shape, tag))
            if not stamps[key]:
                raise ValueError("a shape that fits on no page")
        order = sorted(range(len(shapes)), key=lambda n: -_bulk(shapes[n][0]))
        area = sum(float(shape.area) for shape, _ in shapes)
        best = found = self._in_order(order, keys, stamps)
        for _ in range(TRIES):
            if area > (_pages(best) - 1) * self.width * self.height * DENSE:
                break
            # What was left over at the end comes sooner: half as far from the beginning.
            last = _pages(found) - 1
            rank = {n: k / 2 if found[n].page == last else k for k, n in enumerate(order)}
            order.sort(key=lambda n: rank[n])
            found = self._in_order(order, keys, stamps)
            if _pages(found) < _pages(best):
                best = found
        self.pages = _pages(best)
        return [best[n] for n in range(len(shapes))]

    def _in_order(
        self,
        order: Sequence[int],
        keys: Sequence[tuple[int, Tag]],
        stamps: Mapping[tuple[int, Tag], Sequence[_Stamp]],
    ) -> dict[int, Spot]:
        self._pages = []
        return {n: self._lay(keys[n], stamps[keys[n]]) for n in order}

    def _stamps(self, shape: BaseGeometry, tag: Tag) -> Iterator[_Stamp]:
        whole = [Polygon(part.exterior) for part in get_parts(shape)]
        for angle in TURNS:
            turned = [rotate(part, angle, origin=(0, 0)) for part in whole]
            x0, y0, _, _ = _bounds(turned)
            here = [translate(part, -x0, -y0) for part in turned]
            for x, y in self._beside(here, tag):
                both = [*here, box(x, y, x + tag.width, y + tag.height)]
                left, low, right, high = _bounds(both)
                if right - left > self.width + 1e-6 or high - low > self.height + 1e-6:
                    continue
                cells = self._cells([translate(part, -left, -low) for part in both])
                yield _Stamp(
                    angle, right - left, high - low, cells, _rim(cells), (x - left, y - low), (-left, -low)
                )

    def _beside(self, parts: Sequence[Polygon], tag: Tag) -> Iterator[tuple[float, float]]:
        """Where the label can lie so that both together are small: above or below, or at a side."""
        mine = self._cells([box(0, 0, *tag)])
        lying = np.pad(self._cells(parts), [(n, n) for n in mine.shape])
        met = cv2.boxFilter(lying.astype(np.float32), -1, mine.shape[::-1], anchor=(0, 0), normalize=False)
        free = met < 0.5
        beside = free & (cv2.dilate((~free).astype(np.uint8), np.ones((3, 3), np.uint8)) > 0)
        ys, xs = np.nonzero(beside)
        x, y = (xs - mine.shape[1]) * CELL, (ys - mine.shape[0]) * CELL
        _, _, right, high = _bounds(parts)
        wide = np.maximum(right, x + tag.width) - np.minimum(0.0, x)
        tall = np.maximum(high, y + tag.height) - np.minimum(0.0, y)
        apart = np.hypot(x + tag.width / 2 - right / 2, y + tag.height / 2 - high / 2)
        best = {
            int(np.argmin(cost + 0.01 * apart))
            for cost in (wide * tall, wide + 1e3 * tall, tall + 1e3 * wide)
        }
        for n in sorted(best):
            yield float(x[n]), float(y[n])

    def _cells(self, parts: Sequence[Polygon]) -> Grid:
        _, _, width, height = _bounds(parts)
        cells = np.zeros((ceil(height / CELL) + 2 * self._pad, ceil(width / CELL) + 2 * self._pad), np.uint8)
        for part in parts:
            for wide in get_parts(part.simplify(ROUGH).buffer(self._reach, 4)):
                # middles of cells at whole numbers; fillPoly takes those on the edge too
                points = np.asarray(wide.exterior.coords) / CELL + self._pad - 0.5
                cv2.fillPoly(cells, [np.round(points * 256).astype(np.int32)], 1, shift=8)
        return cells.astype(np.bool_)

    def _lay(self, key: tuple[int, Tag], stamps: Sequence[_Stamp]) -> Spot:
        for number, page in enumerate(self._pages):
            if key not in page.refused:
                spot = self._on(page, number, stamps)
                if spot is not None:
                    return spot
                page.refused.add(key)
        self._pages.append(_Paper(self._size, self._edge))
        spot = self._on(self._pages[-1], len(self._pages) - 1, stamps)
        if spot is None:
            raise ValueError("a shape that fits on no page")
        return spot

    def _on(self, page: _Paper, number: int, stamps: Sequence[_Stamp]) -> Spot | None:
        """Where it touches most; of several such places the lowest, then the one farthest left."""
        room = page.taken.size - int(page.taken.sum())
        best: tuple[float, int, int, int] | None = None
        for k, stamp in enumerate(stamps):
            if stamp.cells.sum() > room:
                continue
            rows = floor((self.height - stamp.height) / CELL + 1e-6) + 1
            columns = floor((self.width - stamp.width) / CELL + 1e-6) + 1
            touching = page.look(stamp, self._fast)[:rows, :columns]
            y, x = divmod(int(touching.argmax()), touching.shape[1])
            if touching[y, x] >= 0:
                here = (-float(touching[y, x]), y, x, k)
                best = here if best is None else min(best, here)
        if best is None:
            return None
        _, y, x, k = best
        stamp = stamps[k]
        page.take(stamp.cells, y, x)
        left, low = x * CELL, y * CELL
        return Spot(
            number, left + stamp.shift[0], low + stamp.shift[1], stamp.angle,
            (left + stamp.tag[0], low + stamp.tag[1]),
        )  # fmt: skip


def _bounds(parts: Sequence[BaseGeometry]) -> tuple[float, float, float, float]:
    bounds = np.array([part.bounds for part in parts])
    (x0, y0), (x1, y1) = bounds[:, :2].min(axis=0), bounds[:, 2:].max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)


def _rim(cells: Grid) -> Grid:
    inner = np.pad(cells, RIM)
    side = 2 * RIM + 1
    return (cv2.dilate(inner.astype(np.uint8), np.ones((side, side), np.uint8)) > 0) & ~inner


def _bulk(shape: BaseGeometry) -> float:
    """What is hard to lay: large, or long."""
    x0, y0, x1, y1 = (float(n) for n in shape.bounds)
    return float(shape.area) + 0.3 * max(x1 - x0, y1 - y0) ** 2


def _pages(spots: Mapping[int, Spot]) -> int:
    return 1 + max((spot.page for spot in spots.values()), default=-1)
