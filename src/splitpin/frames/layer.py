"""One picture somewhere in the frame, and how it is sampled there."""

from __future__ import annotations

from math import ceil, floor, hypot, isfinite, log2
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.frames.kernels import ONE, PAD, lay
from splitpin.frames.pyramid import Pixels, Pyramid
from splitpin.frames.rect import NOTHING, Rect
from splitpin.measure.affine import Affine, move, stretch

FAR = 2.0**28
"""A place so far away that no picture reaches there; places must stay within 2³¹ pixels."""
SLACK = 1e-6
"""A picture shrunk by less than this is not shrunk: the dust of rounding must not soften it."""


class Layer(NamedTuple):
    """A picture and where its pixels go in the frame."""

    name: str
    """The picture's name."""
    matrix: Affine
    """From its pixels (corner origin) to the frame's; y down in both."""


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
    for x in (frame.x0, frame.x1):
        for y in (frame.y0, frame.y1):
            if not max(abs(v) for v in back.apply(x, y)) < FAR:
                return NOTHING
    return rect


def _invertible(matrix: Affine) -> bool:
    size = max(abs(matrix.a * matrix.d), abs(matrix.b * matrix.c))
    return abs(matrix.determinant) > max(size * 1e-9, 1e-14)


class Sampling(NamedTuple):
    """A level of a picture and the numbers that :func:`splitpin.frames.kernels.lay` takes."""

    pixels: Pixels
    places: NDArray[np.int64]
    limits: NDArray[np.int64]
    rim: NDArray[np.float64]

    @classmethod
    def of(cls, picture: Pyramid, matrix: Affine) -> Sampling:
        """How to draw a picture that :func:`bounds` has found to show.

        A picture that is not shrunk is read once a pixel, between its four nearest pixels. One that is shrunk
        is read at four places a pixel, from the level at which a pixel of the frame spans one to two pixels.
        """
        back = matrix.inverse()
        step = max(hypot(back.a, back.b), hypot(back.c, back.d))
        shrunk = step > 1.0 + SLACK
        k = max(0, ceil(log2(step / (1.0 + SLACK))) - 1)
        to_level = back.then(move(-picture.box.x0, -picture.box.y0)).then(stretch(0.5**k))
        u, v = move(0.5, 0.5).then(to_level).then(move(PAD - 0.5, PAD - 0.5)).apply(0.0, 0.0)
        a, b, c, d = to_level[:4]
        width = (picture.box.x1 - picture.box.x0) * 0.5**k
        height = (picture.box.y1 - picture.box.y0) * 0.5**k
        span_u, span_v = hypot(a, c), hypot(b, d)
        offset = PAD - 0.5
        limits = (
            offset - span_u / 2,
            offset + width + span_u / 2,
            offset - span_v / 2,
            offset + height + span_v / 2,
            offset + span_u / 2,
            offset + width - span_u / 2,
            offset + span_v / 2,
            offset + height - span_v / 2,
        )
        places = [round(n * ONE) for n in (u, v, a, b, c, d)] + [1 << 14 if shrunk else 0]
        edges = [round(n * ONE) for n in limits]
        edges = [n + (1 if i in (5, 7) else 0) for i, n in enumerate(edges)]
        return cls(
            picture.level(k),
            np.array(places, np.int64),
            np.array(edges, np.int64),
            np.array([width, height, span_u, span_v]),
        )

    def draw(self, tile: Pixels, left: int, top: int, region: Rect) -> int:
        """Lay it over the part ``region`` of a tile whose first pixel is ``(left, top)``; give the number of
        pixels gone over.
        """
        return int(
            lay(
                tile,
                left,
                top,
                region,
                self.pixels.reshape(-1),
                self.pixels.shape[1],
                self.places,
                self.limits,
                self.rim,
            )
        )
