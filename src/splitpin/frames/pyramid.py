"""A picture ready to be drawn at any size."""

from __future__ import annotations

from threading import Lock

import numpy as np
from numpy.typing import NDArray

from splitpin.frames.levels import PAD, TILE, halve, occupy, premultiply
from splitpin.frames.rect import NOTHING, Rect
from splitpin.measure.light import light_table

Pixels = NDArray[np.uint64]

BAND = 256
"""Rows turned into light at a time, so that a large picture is only in memory at its full depth when it is
drawn at its full size."""


class Pyramid:
    """Linear-light, premultiplied copies of a picture, each half the size of the one before.

    A level is made when it is first asked for. Level ``k`` is the mean of squares of ``2^k`` pixels, counted
    from the top left corner of :attr:`box`.
    """

    def __init__(self, rgba: NDArray[np.uint8]) -> None:
        self.height, self.width = int(rgba.shape[0]), int(rgba.shape[1])
        self.box = _box(rgba[..., 3])
        """What is not transparent, with one pixel more around it where the picture has one; empty when
        nothing shows."""
        x0, y0, x1, y1 = self.box
        part = rgba[y0:y1, x0:x1]
        self._source = part if part.size > rgba.size // 2 else part.copy()
        self._levels: dict[int, Pixels] = {}
        self._tiles: dict[int, NDArray[np.bool_]] = {}
        self._lock = Lock()

    @classmethod
    def of(cls, rgba: NDArray[np.uint8]) -> Pyramid:
        """A picture's pyramid.

        Parameters
        ----------
        rgba
            uint8 (height, width, 4): sRGB and straight alpha. It is kept, not copied: leave it as it is.

        Raises
        ------
        ValueError
            When it is anything else.
        """
        if rgba.dtype != np.uint8 or rgba.ndim != 3 or rgba.shape[2] != 4:
            raise ValueError(
                f"a picture of {rgba.dtype} {rgba.shape}; expected uint8 (height, width, 4), red to alpha"
            )
        return cls(rgba)

    @property
    def alpha(self) -> NDArray[np.uint8]:
        """How opaque :attr:`box` is, uint8 (h, w)."""
        return self._source[..., 3]

    @property
    def top(self) -> int:
        """The first level of a single pixel; those above it look the same."""
        side = max(self.box.x1 - self.box.x0, self.box.y1 - self.box.y0, 1)
        return (side - 1).bit_length()

    @property
    def nbytes(self) -> int:
        """Memory held by the levels made so far."""
        return sum(level.nbytes for level in tuple(self._levels.values()))

    @property
    def room(self) -> int:
        """Memory held by all of it: the picture, and the levels made so far."""
        whole = self._source if self._source.base is None else self._source.base
        return whole.nbytes + self.nbytes

    def level(self, k: int) -> Pixels:
        """Level ``k`` of :attr:`box`, its edges repeated ``PAD`` pixels outward.

        Returns
        -------
        ndarray
            uint64 (h + 2·PAD, w + 2·PAD); a pixel is four 16-bit lanes, red to alpha from the lowest up.

        Raises
        ------
        ValueError
            When nothing of the picture shows.
        """
        if not self.box.area:
            raise ValueError("a wholly transparent picture has no levels")
        k = min(k, self.top)
        with self._lock:
            if k not in self._levels:
                self._levels[k] = self._make(k)
            return self._levels[k]

    def tiles(self, k: int) -> NDArray[np.bool_]:
        """Where anything of level ``k`` shows, in squares of ``TILE`` pixels counted from the corner of its
        padding: bool, see :func:`splitpin.frames.kernels.occupy`.
        """
        pixels, k = self.level(k), min(k, self.top)
        with self._lock:
            if k not in self._tiles:
                height, width = pixels.shape
                tiles = np.zeros((-(-height // TILE), -(-width // TILE)), np.bool_)
                occupy(pixels, tiles)
                self._tiles[k] = tiles
            return self._tiles[k]

    def _make(self, k: int) -> Pixels:
        below = max((j for j in self._levels if j < k), default=-1)
        if below >= 0:
            pixels = self._levels[below]
        elif k == 0:
            pixels = self._light(0, self._source.shape[0])
        else:
            below, height = 1, self._source.shape[0]
            pixels = _room((height + 1) // 2, (self._source.shape[1] + 1) // 2)
            for y in range(0, height, BAND):
                halve(self._light(y, min(y + BAND, height)), pixels, y // 2)
        for _ in range(max(below, 0), k):
            half = _room((pixels.shape[0] - 2 * PAD + 1) // 2, (pixels.shape[1] - 2 * PAD + 1) // 2)
            halve(pixels, half, 0)
            pixels = half
        _repeat_edges(pixels)
        return pixels

    def _light(self, first: int, last: int) -> Pixels:
        out = _room(last - first, self._source.shape[1])
        for y in range(first, last, BAND):
            premultiply(self._source[y : min(y + BAND, last)].copy(), light_table(), out, y - first)
        return out


def _room(height: int, width: int) -> Pixels:
    return np.empty((height + 2 * PAD, width + 2 * PAD), np.uint64)


def _repeat_edges(pixels: Pixels) -> None:
    pixels[:PAD], pixels[-PAD:] = pixels[PAD], pixels[-PAD - 1]
    pixels[:, :PAD], pixels[:, -PAD:] = pixels[:, PAD : PAD + 1], pixels[:, -PAD - 1 : -PAD]


def _box(alpha: NDArray[np.uint8]) -> Rect:
    ys, xs = np.flatnonzero(alpha.any(axis=1)), np.flatnonzero(alpha.any(axis=0))
    if not ys.size:
        return NOTHING
    height, width = alpha.shape
    return Rect(
        max(int(xs[0]) - 1, 0),
        max(int(ys[0]) - 1, 0),
        min(int(xs[-1]) + 2, width),
        min(int(ys[-1]) + 2, height),
    )
