"""Pyramids: levels of linear light."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from tests.pictures import light_of, noise

from splitpin.frames.levels import PAD, REACH, TILE
from splitpin.frames.pyramid import Pyramid
from splitpin.frames.rect import Rect


def lanes(level: NDArray[np.uint64]) -> NDArray[np.float64]:
    inner = np.ascontiguousarray(level[PAD:-PAD, PAD:-PAD])
    return inner.view(np.uint16).reshape(*inner.shape, 4) / 65535


def test_the_first_level_is_premultiplied_linear_light() -> None:
    rgba = noise(13, 9, 1)
    alpha = rgba[..., 3:] / 255
    expected = np.concatenate([light_of(rgba[..., :3]) * alpha, alpha], axis=2)
    assert np.abs(lanes(Pyramid.of(rgba).level(0)) - expected).max() <= 1.01 / 65535


def test_each_level_is_the_mean_of_fours_of_the_one_before() -> None:
    rgba = noise(16, 8, 2)
    pyramid = Pyramid.of(rgba)
    fine, coarse = lanes(pyramid.level(0)), lanes(pyramid.level(1))
    mean = fine.reshape(4, 2, 8, 2, 4).mean(axis=(1, 3))
    assert np.abs(coarse - mean).max() <= 0.51 / 65535


@pytest.mark.parametrize("size", [(1, 1), (1, 7), (513, 3), (300, 601)])
def test_a_level_is_the_same_whatever_was_asked_for_before(size: tuple[int, int]) -> None:
    rgba = noise(*size, 3, opaque=True)
    straight, stepwise = Pyramid.of(rgba), Pyramid.of(rgba)
    for k in range(4):
        stepwise.level(k)
    assert (straight.level(3) == stepwise.level(3)).all()


def test_levels_above_the_top_are_its_single_pixel() -> None:
    pyramid = Pyramid.of(noise(20, 20, 4, opaque=True))
    assert pyramid.level(pyramid.top).shape == (1 + 2 * PAD, 1 + 2 * PAD)
    assert pyramid.level(30) is pyramid.level(pyramid.top)


def test_only_what_is_not_transparent_is_kept() -> None:
    rgba = np.zeros((100, 200, 4), np.uint8)
    rgba[20:30, 50:90] = 255
    pyramid = Pyramid.of(rgba)
    assert (pyramid.width, pyramid.height) == (200, 100)
    assert pyramid.box == Rect(49, 19, 91, 31)
    assert pyramid.level(0).shape == (12 + 2 * PAD, 42 + 2 * PAD)


def test_a_small_level_of_a_large_picture_takes_little_memory() -> None:
    pyramid = Pyramid.of(np.full((2000, 3000, 4), 255, np.uint8))
    pyramid.level(2)
    assert pyramid.nbytes < 8 * 2000 * 3000 / 12


def test_a_wholly_transparent_picture_has_an_empty_box() -> None:
    pyramid = Pyramid.of(np.zeros((5, 5, 4), np.uint8))
    assert pyramid.box.area == 0
    with pytest.raises(ValueError, match="transparent"):
        pyramid.level(0)


@pytest.mark.parametrize(
    "bad", [np.zeros((4, 4, 3), np.uint8), np.zeros((4, 4, 4)), np.zeros((4, 4), np.uint8)]
)
def test_another_kind_of_array_is_refused(bad: NDArray[np.uint8]) -> None:
    with pytest.raises(ValueError, match="expected uint8"):
        Pyramid.of(bad)


@settings(max_examples=20)
@given(st.integers(0, 2**31), st.integers(0, 2))
def test_tiles_mark_all_places_from_where_something_shows_and_no_others(seed: int, k: int) -> None:
    rng = np.random.default_rng(seed)
    rgba = np.zeros((70, 90, 4), np.uint8)
    for _ in range(rng.integers(2, 6)):
        rgba[rng.integers(70), rng.integers(90)] = 255
    pyramid = Pyramid.of(rgba)
    level, tiles = pyramid.level(k), pyramid.tiles(k)
    shown = np.argwhere(level >> np.uint64(48))
    for j, i in np.ndindex(tiles.shape):
        near = (shown >= (j * TILE - REACH, i * TILE - REACH)) & (
            shown < ((j + 1) * TILE + REACH, (i + 1) * TILE + REACH)
        )
        assert tiles[j, i] == near.all(axis=1).any()
