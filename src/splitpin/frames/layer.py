"""One picture somewhere in the frame, and how it is sampled there."""

from __future__ import annotations

from math import ceil, floor, hypot, isfinite, log2
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.frames.kernels import ONE, lay
from splitpin.frames.levels import PAD
from splitpin.frames.pyramid import Pixels, Pyramid
from splitpin.frames.rect import NOTHING, Rect
from splitpin.measure.affine import Affine, move, stretch

FAR = 2.0**28
"""A place so far away that no picture reaches there; places must stay within 2³¹ pixels."""
WIDEST = 5.0
"""The largest box of a picture's pixels that is averaged for a pixel of the frame; for larger ones a smaller
level of the picture is read. The wider, the nearer to the true mean; five is what the kernel takes."""
LARGE = 8_000_000
"""Pixels above which a picture is read at the next smaller level where it can be, to save memory."""
SLACK = 1e-6
"""A picture shrunk or enlarged by less than this is not."""


class Layer(NamedTuple):
    """A picture, where its pixels go in the frame and which pixels of the frame it can touch."""

    name: str
    """The picture's name."""
    matrix: Affine
    """From its pixels (corner origin) to the frame's; y down in both."""
    rect: Rect
    """Empty when it does not show."""
    blur: float = -1.0
    """For a shadow: how wide its soft edge is, in pixels of the picture; -1 for the picture itself."""


def bounds(picture: Pyramid, matrix: Affine, frame: Rect) -> Rect:
    """The pixels of the frame that a picture can touch.

    Returns
    -------
    Rect
        Within the frame; empty when the picture is transparent, lies outside, or its matrix is not finite or
        flattens it to nothing.
    """
    if not picture.box.area or not all(isfinite(v) for v in matrix) or not _invertible(matrix):
        return NOTHING
    x0, y0, x1, y1 = picture.box
    corners = [matrix.apply(x, y) for x in (x0, x1) for y in (y0, y1)]
    xs, ys = [min(max(x, -FAR), FAR) for x, _ in corners], [min(max(y, -FAR), FAR) for _, y in corners]
    rect = frame.overlap(Rect(floor(min(xs)) - 1, floor(min(ys)) - 1, ceil(max(xs)) + 1, ceil(max(ys)) + 1))
    if not rect.area:
        return NOTHING
    back = matrix.inverse()
    seen = [back.apply(x, y) for x in (frame.x0, frame.x1) for y in (frame.y0, frame.y1)]
    return rect if all(max(abs(u), abs(v)) < FAR for u, v in seen) else NOTHING


def _invertible(matrix: Affine) -> bool:
    size = max(abs(matrix.a * matrix.d), abs(matrix.b * matrix.c))
    return abs(matrix.determinant) > max(size * 1e-9, 1e-14)


class Sampling(NamedTuple):
    """A level of a picture and the numbers that :func:`splitpin.frames.kernels.lay` takes."""

    pixels: Pixels
    tiles: NDArray[np.bool_]
    places: NDArray[np.int64]
    limits: NDArray[np.int64]
    rim: NDArray[np.float64]

    @classmethod
    def of(cls, picture: Pyramid, matrix: Affine) -> Sampling:
        """How to draw a picture that :func:`bounds` has found to show.

        A pixel of the frame shows the mean of the box of the picture that it covers, at least one pixel wide,
        where each of the picture's pixels is a flat square: for a picture that is not shrunk this is bilinear
        interpolation. The sides of the box lie along the picture's; turned, it keeps the second moments of
        the pixel's true outline. Beyond the picture's edge its last pixels go on, and the whole is weakened
        by how much of the box lies off the picture: so edges are one pixel of the frame soft at any size, and
        a picture that fills the frame exactly lets no paper through.
        """
        back = matrix.inverse()
        span = max(hypot(back.a, back.c), hypot(back.b, back.d))
        widest = WIDEST if picture.box.area <= LARGE else WIDEST / 2
        k = max(0, ceil(log2(span / widest)))
        to_level = back.then(move(-picture.box.x0, -picture.box.y0)).then(stretch(0.5**k))
        u, v = move(0.5, 0.5).then(to_level).then(move(PAD, PAD)).apply(0.0, 0.0)
        a, b, c, d = to_level[:4]
        width = (picture.box.x1 - picture.box.x0) * 0.5**k
        height = (picture.box.y1 - picture.box.y0) * 0.5**k
        across, down = _trim(hypot(a, c)), _trim(hypot(b, d))
        limits = (
            *(PAD - across / 2, PAD + width + across / 2),
            *(PAD - down / 2, PAD + height + down / 2),
            *(PAD + across / 2, PAD + width - across / 2),
            *(PAD + down / 2, PAD + height - down / 2),
        )
        edges = [round(n * ONE) for n in limits]
        return cls(
            picture.level(k),
            picture.tiles(k),
            np.array([round(n * ONE) for n in (u, v, a, b, c, d)], np.int64),
            np.array([n + (1 if i in (5, 7) else 0) for i, n in enumerate(edges)], np.int64),
            np.array([width, height, across, down]),
        )

    def draw(self, tile: Pixels, left: int, top: int, region: Rect) -> int:
        """Lay it over the part ``region`` of a tile whose first pixel is ``(left, top)``; give the number of
        pixels gone over.
        """
        flat, width = self.pixels.reshape(-1), self.pixels.shape[1]
        return int(lay(tile, left, top, region, flat, width, self.tiles, self.places, self.limits, self.rim))


def _trim(span: float) -> float:
    """The dust of rounding must not soften a picture that is shown as it is."""
    return 1.0 if abs(span - 1.0) < SLACK else span
