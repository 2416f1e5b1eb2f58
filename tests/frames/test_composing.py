"""What is drawn, against a compositor in float64."""

from __future__ import annotations

import tracemalloc
from math import inf, nan
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given, settings
from numba import njit
from numpy.typing import NDArray
from tests.pictures import in_pixels, light_of, lying, noise, placings, reference

from splitpin.character.place import Placed
from splitpin.frames.canvas import Canvas, draw_row
from splitpin.frames.lanes import over
from splitpin.frames.pyramid import Pyramid
from splitpin.measure.affine import Affine, stretch
from splitpin.measure.table import Stage, View
from splitpin.sheet.sheet import Row

STAGE = Stage(96, 64, 120.0)
PICTURES = {
    "scrap": noise(24, 17, 1),
    "block": noise(40, 31, 2, opaque=True),
    "strip": noise(3, 50, 3, opaque=True),
    "dot": np.full((1, 1, 4), 200, np.uint8),
}
PYRAMIDS = {name: Pyramid.of(rgba) for name, rgba in PICTURES.items()}
SIZES = {name: (rgba.shape[1], rgba.shape[0]) for name, rgba in PICTURES.items()}


def drawn(
    placed: tuple[Placed, ...],
    stage: Stage = STAGE,
    view: View | None = None,
    paper: int = 200,
    **more: Pyramid,
) -> NDArray[np.uint8]:
    row = Row(0, 1, placed, view or stage.whole(), "")
    return draw_row(row, stage, PYRAMIDS | more, None, f"#{paper:02x}{paper:02x}{paper:02x}")


@given(placings(STAGE, SIZES))
@settings(max_examples=150)
@example((in_pixels("block", STAGE, lying(SIZES["block"], 48, 32, 30, 1 / 3)),))
def test_a_frame_is_within_one_step_of_the_reference(placed: tuple[Placed, ...]) -> None:
    expected = reference(placed, PICTURES, STAGE, STAGE.whole(), 200)
    got = drawn(placed)
    assert np.abs(got - expected).max() <= 1.0
    assert np.abs(got - np.rint(expected)).mean() <= 0.1


@given(placings(STAGE, SIZES))
@settings(max_examples=20)
def test_the_view_is_taken_in_as_the_table_says(placed: tuple[Placed, ...]) -> None:
    view = View(7.0, -4.0, 75.0, 12.0)
    expected = reference(placed, PICTURES, STAGE, view, 200)
    assert np.abs(drawn(placed, view=view) - expected).max() <= 1.0


def test_fifty_percent_white_over_black_is_188() -> None:
    """Linear light: .5 encodes to 187.5 (IEC 61966-2-1); 128/255 is the nearest 8-bit alpha."""
    half = np.full((10, 10, 4), 255, np.uint8)
    half[..., 3] = 128
    frame = drawn((in_pixels("half", STAGE, Affine()),), paper=0, half=Pyramid.of(half))
    assert np.unique(frame[:10, :10]).tolist() == [188]
    assert np.unique(frame[11:]).tolist() == [0]


def test_a_picture_laid_pixel_on_pixel_comes_back_exactly() -> None:
    picture = noise(96, 64, 9, opaque=True)
    for matrix in (Affine(), Affine(a=-1.0, e=96.0), Affine(d=-1.0, f=64.0)):
        frame = drawn((in_pixels("full", STAGE, matrix),), full=Pyramid.of(picture))
        flipped = picture[:: int(matrix.d), :: int(matrix.a), :3]
        assert (frame == flipped).all()


def test_source_over_is_that_of_the_w3c_example() -> None:
    """W3C Compositing 1, 9.1.4 (second-hand): red, alpha .5, over blue, alpha .8: alpha .9, (.5, 0, .4)."""

    @njit
    def lay_one(below: Any, red: Any, alpha: Any) -> Any:
        return over(below, (red, np.float32(0), np.float32(0), alpha), np.float32(1))

    below = np.array([0, 0, round(0.8 * 65535), round(0.8 * 65535)], np.uint16).view(np.uint64)[0]
    half = np.float32(32767.5)
    result = np.array([lay_one(below, half, half)], np.uint64).view(np.uint16) / 65535
    assert result == pytest.approx([0.5, 0, 0.4, 0.9], abs=1 / 65535)


@pytest.mark.parametrize(
    "matrix",
    [
        Affine(a=nan),
        Affine(e=inf),
        Affine(f=-inf),
        Affine(a=0.0),
        stretch(0.0),
        stretch(1e-9),
        Affine(1.0, 1.0, 1.0, 1.0),
        Affine(1e-12, 0.0, 0.0, 1e12),
        Affine(e=1e300),
        stretch(1e300),
    ],
)
def test_a_matrix_that_is_not_finite_or_flattens_draws_nothing(matrix: Affine) -> None:
    blank = drawn(())
    in_frame = Placed("", "", "block", matrix.then(STAGE.to_pixels(STAGE.whole()).inverse()), (0, 0), 0, 0)
    assert (drawn((in_frame,)) == blank).all()


def test_a_transparent_picture_draws_nothing() -> None:
    clear = np.zeros((9, 9, 4), np.uint8)
    assert (drawn((in_pixels("clear", STAGE, Affine()),), clear=Pyramid.of(clear)) == drawn(())).all()


def test_a_picture_that_is_not_there_is_named() -> None:
    with pytest.raises(KeyError, match="absent"):
        drawn((in_pixels("absent", STAGE, Affine()),))


@pytest.mark.parametrize("angle", [0.0, 7.0, 45.0])
@pytest.mark.parametrize("scale", [0.31, 1.0, 2.7])
def test_edges_cover_the_area_of_the_piece(angle: float, scale: float) -> None:
    """The light of a white piece on black adds up to its area, over all ways of lying between pixels: no edge
    gains or loses any.
    """
    white = Pyramid.of(np.full((12, 20, 4), 255, np.uint8))
    areas = []
    for i in range(16):
        matrix = lying((20, 12), 48 + i % 4 / 4, 32 + i // 4 / 4, angle, scale)
        frame = drawn((in_pixels("white", STAGE, matrix),), paper=0, white=white)
        areas.append(light_of(frame[..., 0]).sum())
    assert np.mean(areas) == pytest.approx(240 * scale**2, rel=0.005)


def test_a_turned_edge_is_smooth() -> None:
    """Along a row, the light of a turned white piece climbs over the edge in steps, never at once."""
    white = Pyramid.of(np.full((200, 200, 4), 255, np.uint8))
    frame = drawn((in_pixels("white", STAGE, lying((200, 200), 140, 32, 10, 1.0)),), paper=0, white=white)
    rise = np.diff(light_of(frame[..., 0]), axis=1)
    assert rise.min() >= -1e-6
    assert rise.max() < 0.99
    assert ((frame[..., 0] > 0) & (frame[..., 0] < 255)).any(axis=1).mean() > 0.9


@pytest.mark.parametrize("size", [(3, 2), (41, 29), (96, 64), (150, 100), (417, 263), (1200, 900)])
def test_a_picture_that_fills_the_frame_lets_no_paper_through(size: tuple[int, int]) -> None:
    black = np.zeros((size[1], size[0], 4), np.uint8)
    black[..., 3] = 255
    matrix = stretch(STAGE.width / size[0], STAGE.height / size[1])
    assert drawn((in_pixels("black", STAGE, matrix),), paper=255, black=Pyramid.of(black)).max() == 0


@pytest.mark.parametrize("scale", [0.24, 0.05, 0.004])
def test_shrinking_keeps_the_mean_light(scale: float) -> None:
    """A fine chequer of black and white, shrunk, is half the light: 188 (IEC 61966-2-1: 187.5)."""
    chequer = np.full((2000, 2000, 4), 255, np.uint8)
    chequer[..., :3] = 255 * (np.indices((2000, 2000)).sum(0) % 2)[..., None]
    frame = drawn(
        (in_pixels("chequer", STAGE, lying((2000, 2000), 48, 32, 0, scale)),), chequer=Pyramid.of(chequer)
    )
    assert abs(int(frame[32, 48, 0]) - 188) <= 2


def test_the_largest_frame_takes_no_more_memory_than_its_pixels() -> None:
    stage = Stage(8192, 4320, 400.0)
    tracemalloc.start()
    try:
        canvas = Canvas(stage, PYRAMIDS)
        canvas.draw((in_pixels("block", stage, lying(SIZES["block"], 4000, 2000, 20, 8.0)),), stage.whole())
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert peak < 1.15 * 3 * 8192 * 4320
