"""A picture ready to be drawn at any size."""

from __future__ import annotations

from threading import Lock

import numpy as np
from numpy.typing import NDArray

from splitpin.frames.kernels import PAD, halve, premultiply
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
    def top(self) -> int:
        """The first level of a single pixel; those above it look the same."""
        side = max(self.box.x1 - self.box.x0, self.box.y1 - self.box.y0, 1)
        return (side - 1).bit_length()

    @property
    def nbytes(self) -> int:
        """Memory held by the levels made so far."""
        return sum(level.nbytes for level in self._levels.values())

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
                self._levels[k] = _padded(self._make(k))
            return self._levels[k]

    def _make(self, k: int) -> Pixels:
        if k == 0:
            return self._light(0, self._source.shape[0])
        below = max((j for j in self._levels if j < k), default=-1)
        if below >= 0:
            pixels = self._levels[below][PAD:-PAD, PAD:-PAD]
        else:
            below, height = 1, self._source.shape[0]
            pixels = np.concatenate(
                [_half(self._light(y, min(y + BAND, height))) for y in range(0, height, BAND)]
            )
        for _ in range(below, k):
            pixels = _half(pixels)
        return pixels

    def _light(self, first: int, last: int) -> Pixels:
        part = self._source[first:last]
        out = np.empty(part.shape[:2], np.uint64)
        premultiply(np.ascontiguousarray(part), light_table(), out)
        return out


def _half(pixels: Pixels) -> Pixels:
    out = np.empty(((pixels.shape[0] + 1) // 2, (pixels.shape[1] + 1) // 2), np.uint64)
    halve(np.ascontiguousarray(pixels), out)
    return out


def _padded(pixels: Pixels) -> Pixels:
    out = np.pad(pixels, PAD, mode="edge")
    out.flags.writeable = False
    return out


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
