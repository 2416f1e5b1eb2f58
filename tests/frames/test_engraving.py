"""Fine engravings, shrunk: near to the true mean of each pixel's area, and steady as they move."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.pictures import Real, in_pixels, light_of, lying, signal_of

from splitpin.frames.canvas import Canvas
from splitpin.frames.pyramid import Pyramid
from splitpin.measure.affine import Affine
from splitpin.measure.table import Stage

SIDE = 480
STAGE = Stage(60, 60, 60.0)


def engraving() -> NDArray[np.uint8]:
    """Two layers of swelling black lines, a few pixels apart, on cream paper."""
    y, x = np.mgrid[:SIDE, :SIDE] / SIDE
    tone = 0.5 + 0.45 * np.sin(7 * x + 3 * y * y) * np.cos(5 * y)
    first = np.sin(2 * np.pi * (x * 96 * (1 + 0.15 * y) + 8 * np.sin(4 * y))) / 2 + 0.5 < tone
    second = np.sin(2 * np.pi * (x * 48 + y * 80 + 5 * np.sin(5 * x))) / 2 + 0.5 < tone + 0.35
    rgba = np.full((SIDE, SIDE, 4), 255, np.uint8)
    rgba[..., :3] = np.where((first & second)[..., None], (235, 228, 211), (20, 19, 18))
    return rgba


PICTURE = engraving()
PYRAMID = Pyramid.of(PICTURE)


def area_integral(matrix: Affine, finer: int = 24) -> Real:
    """The mean light over each pixel's true outline, in float64."""
    back = matrix.inverse()
    light = light_of(PICTURE[..., :3])
    total = np.zeros((60, 60, 3))
    for j in range(finer):
        for i in range(finer):
            ys, xs = np.mgrid[:60, :60].astype(float)
            xs, ys = xs + (i + 0.5) / finer, ys + (j + 0.5) / finer
            u = np.floor(back.a * xs + back.c * ys + back.e).astype(int)
            v = np.floor(back.b * xs + back.d * ys + back.f).astype(int)
            total += light[np.clip(v, 0, SIDE - 1), np.clip(u, 0, SIDE - 1)]
    return signal_of(total / finer**2)


def error(matrix: Affine) -> Real:
    canvas = Canvas(STAGE, {"engraving": PYRAMID})
    canvas.draw((in_pixels("engraving", STAGE, matrix),), STAGE.whole())
    return np.asarray(canvas.rgb - area_integral(matrix))


def decibels(difference: Real) -> float:
    return float(10 * np.log10(255**2 / np.mean(difference**2)))


@pytest.mark.parametrize("angle", [0.0, 13.0])
@pytest.mark.parametrize("scale", [0.21, 0.3, 0.4, 0.5, 0.6, 0.75, 0.9])
def test_a_shrunk_engraving_is_near_the_true_mean_of_its_area(scale: float, angle: float) -> None:
    """Bilinear sampling alone stays below 27 dB up to x.8."""
    assert decibels(error(lying((SIDE, SIDE), 30.3, 30.2, angle, scale))) > 36


def test_a_sliding_engraving_does_not_shimmer() -> None:
    """From place to place the error hardly changes: what changes is what the true picture changes."""
    errors = [error(lying((SIDE, SIDE), 30 + 0.13 * i, 30 + 0.07 * i, 5, 0.45)) for i in range(6)]
    assert decibels(np.diff(errors, axis=0)) > 36
