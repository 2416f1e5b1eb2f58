"""Pictures and placings that tests of frames share, and a compositor in float64 to check against.

The compositor is written from the definition alone: a pixel of the frame shows the mean light of the box of
the picture that it covers (at least one pixel wide, along the picture's axes), the picture's pixels being
flat squares and its edge pixels going on for ever, weakened by the part of the pixel's box that is off the
picture; source over on premultiplied linear light.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray

from splitpin.character.place import Placed
from splitpin.measure.affine import Affine, move, stretch, turn
from splitpin.measure.table import Stage, View

Real = NDArray[np.float64]


def piece(name: str, matrix: Affine) -> Placed:
    """A piece that lies on the table by a matrix."""
    return Placed("someone", name, name, matrix, (0.0, 0.0), 0.0, 0.0)


def in_pixels(name: str, stage: Stage, matrix: Affine, view: View | None = None) -> Placed:
    """A piece whose matrix is given from its pixels to the frame's."""
    return piece(name, matrix.then(stage.to_pixels(view or stage.whole()).inverse()))


def lying(
    size: tuple[int, int], x: float, y: float, angle: float, scale: float, flip: bool = False
) -> Affine:
    """A picture of ``size`` about its middle, to the frame's pixels."""
    return (
        move(-size[0] / 2, -size[1] / 2)
        .then(stretch(-scale if flip else scale, scale))
        .then(turn(angle))
        .then(move(x, y))
    )


def noise(width: int, height: int, seed: int, opaque: bool = False) -> NDArray[np.uint8]:
    """A picture of chance, its corners not transparent."""
    rgba = np.random.default_rng(seed).integers(0, 256, (height, width, 4), np.uint8)
    rgba[:: max(height - 1, 1), :: max(width - 1, 1), 3] = 255
    if opaque:
        rgba[..., 3] = 255
    return rgba


@st.composite
def placings(draw: st.DrawFn, stage: Stage, sizes: Mapping[str, tuple[int, int]]) -> tuple[Placed, ...]:
    """Some pieces anywhere: turned, scaled, mirrored, overlapping, partly or wholly off the frame."""
    pieces = []
    for _ in range(draw(st.integers(1, 6))):
        name = draw(st.sampled_from(sorted(sizes)))
        matrix = lying(
            sizes[name],
            draw(st.floats(-20, stage.width + 20)),
            draw(st.floats(-20, stage.height + 20)),
            draw(st.one_of(st.floats(-180, 180), st.sampled_from([0.0, 45.0, 90.0, -90.0, 180.0]))),
            draw(st.one_of(st.floats(0.3, 3.0), st.sampled_from([0.5, 1.0, 2.0]))),
            draw(st.booleans()),
        )
        pieces.append(in_pixels(name, stage, matrix))
    return tuple(pieces)


def light_of(signal: Any) -> Real:
    """IEC 61966-2-1."""
    v = np.asarray(signal, np.float64) / 255
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


def signal_of(light: Real) -> Real:
    """IEC 61966-2-1; 0..255, not rounded."""
    v = np.clip(light, 0, 1)
    return np.where(v <= 0.0031308, v * 12.92, 1.055 * v ** (1 / 2.4) - 0.055) * 255


def reference(
    placed: Sequence[Placed], pictures: Mapping[str, NDArray[np.uint8]], stage: Stage, view: View, paper: int
) -> Real:
    """The frame, (height, width, 3), 0..255, not rounded; ``paper`` is its grey."""
    frame = np.full((stage.height, stage.width, 3), light_of(paper))
    ys, xs = np.mgrid[: stage.height, : stage.width] + 0.5
    for p in placed:
        rgba = pictures[p.cutout]
        height, width = rgba.shape[:2]
        alpha = rgba[..., 3:] / 255
        premultiplied = np.concatenate([light_of(rgba[..., :3]) * alpha, alpha], axis=2)
        m = p.matrix.then(stage.to_pixels(view)).inverse()
        u, v = m.a * xs + m.c * ys + m.e, m.b * xs + m.d * ys + m.f
        span_u, span_v = np.hypot(m.a, m.c), np.hypot(m.b, m.d)
        mean = _box_mean(premultiplied, u, v, max(span_u, 1.0), max(span_v, 1.0))
        cover = _share(u, span_u, width) * _share(v, span_v, height)
        source = mean * cover[..., None]
        frame = source[..., :3] + frame * (1 - source[..., 3:])
    return signal_of(frame)


def _share(place: Real, span: float, size: int) -> Real:
    low, high = np.maximum(place - span / 2, 0), np.minimum(place + span / 2, size)
    return np.asarray(np.maximum(high - low, 0) / span)


def _box_mean(picture: Real, u: Real, v: Real, wide: float, high: float) -> Real:
    pad = 40
    sums = np.pad(picture, ((pad, pad), (pad, pad), (0, 0)), mode="edge").cumsum(0).cumsum(1)
    sums = np.pad(sums, ((1, 0), (1, 0), (0, 0)))

    def upto(x: Real, y: Real) -> Real:
        x = np.clip(x + pad, 0, sums.shape[1] - 1.001)
        y = np.clip(y + pad, 0, sums.shape[0] - 1.001)
        i, j = x.astype(int), y.astype(int)
        f, g = (x - i)[..., None], (y - j)[..., None]
        upper = sums[j, i] * (1 - f) + sums[j, i + 1] * f
        lower = sums[j + 1, i] * (1 - f) + sums[j + 1, i + 1] * f
        return np.asarray(upper * (1 - g) + lower * g)

    left, right, top, bottom = u - wide / 2, u + wide / 2, v - high / 2, v + high / 2
    total = upto(right, bottom) - upto(left, bottom) - upto(right, top) + upto(left, top)
    return np.asarray(total / (wide * high))
