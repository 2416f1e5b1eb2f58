"""What a person is told to look at in a piece."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from splitpin.cutout.cut import Piece, cut
from splitpin.cutout.doubts import doubts
from splitpin.cutout.recipe import Recipe, Stroke


def picture() -> NDArray[np.uint8]:
    """An orange disc of radius 60 about 120, 100 on blue-green grain."""
    y, x = np.mgrid[:200, :240] + 0.5
    grain = np.random.default_rng(0).normal(0, 12, (200, 240, 1))
    ground = np.clip(np.array([90, 140, 150]) + grain, 0, 255)
    return np.where((np.hypot(x - 120, y - 100) < 60)[..., None], [230, 120, 40], ground).astype(np.uint8)


def said(recipe: Recipe) -> list[str]:
    rgb = picture()
    return [d.found for d in doubts(rgb, recipe, cut(rgb, recipe))]


@pytest.mark.parametrize("gap", [0, 1, 3, 10])
def test_a_loop_around_the_thing_however_tight_is_in_no_doubt(gap: int) -> None:
    assert said(Recipe(box=(60 - gap, 40 - gap, 120 + 2 * gap, 120 + 2 * gap))) == []


@pytest.mark.parametrize("by", [5, 10, 30])
def test_a_loop_through_the_thing_is_told_where_it_runs_through(by: int) -> None:
    (found,) = said(Recipe(box=(50, 30, 130 - by, 140)))
    assert f"near {180 - by}, 100 it seems to run through the thing" in found


def test_a_thing_that_the_picture_ends_is_in_no_doubt() -> None:
    rgb = np.ascontiguousarray(picture()[:, :150])
    recipe = Recipe(box=(40, 20, 150, 160))
    assert doubts(rgb, recipe, cut(rgb, recipe)) == ()


def test_strokes_that_say_both_of_the_same_pixels_are_told() -> None:
    keep = Stroke(points=[(90, 100), (150, 100)], radius=4)
    beside = Stroke(points=[(90, 120), (150, 120)], radius=4)
    across = Stroke(points=[(110, 80), (110, 105)], radius=3)
    loop = (50.0, 30.0, 140.0, 140.0)
    assert said(Recipe(box=loop, keep=[keep], drop=[beside])) == []
    (found,) = said(Recipe(box=loop, keep=[beside, keep], drop=[across]))
    assert found == "near 110, 100 keep 2 and drop 1 lie over the same pixels"


def legs(cut_off: int) -> tuple[NDArray[np.uint8], Recipe]:
    """A black trunk with a leg 14 wide on white; the loop's lower side leaves off so much of the leg."""
    rgb = np.full((300, 300, 3), 250, np.uint8)
    rgb[60:160, 60:240] = rgb[150:250, 100:114] = 5
    return rgb, Recipe(loop=[(40, 40), (260, 40), (260, 260 - cut_off), (40, 260 - cut_off)])


@pytest.mark.parametrize("cut_off", [20, 50])
def test_a_narrow_leg_that_the_loop_cuts_is_told(cut_off: int) -> None:
    rgb, recipe = legs(cut_off)
    (found,) = [d.found for d in doubts(rgb, recipe, cut(rgb, recipe))]
    assert f", {260 - cut_off} it seems to run through the thing" in found
    rgb, recipe = legs(0)
    assert doubts(rgb, recipe, cut(rgb, recipe)) == ()


def piece_of(alpha: NDArray[np.uint8]) -> Piece:
    height, width = alpha.shape
    rgba = np.dstack([np.full((height, width, 3), 90, np.uint8), alpha])
    return Piece(rgba, (10, 20, width, height), ())


def told(alpha: NDArray[np.uint8]) -> list[str]:
    height, width = alpha.shape
    rgb = np.full((height + 40, width + 20, 3), 250, np.uint8)
    rgb[20 : 20 + height, 10 : 10 + width] = 90
    recipe = Recipe(box=(2, 2, width + 16, height + 36))
    return [d.found for d in doubts(rgb, recipe, piece_of(alpha))]


def test_a_half_clear_part_is_told_with_its_share_and_place() -> None:
    alpha = np.full((100, 200), 255, np.uint8)
    alpha[:, 160:] = 128
    assert told(alpha) == ["20% of it is half clear, most of that near 189, 39"]
    # An edge as wide as a photograph's is none.
    alpha[:, 160:] = np.clip(255 - 64 * np.arange(40), 0, 255)
    assert told(alpha) == []


def test_a_spot_that_one_can_see_through_is_told_and_a_hole_is_not() -> None:
    alpha = np.full((100, 200), 255, np.uint8)
    alpha[40:44, 60:65] = 150
    assert told(alpha) == ["near 71, 61 paper goes round a spot that one can see through"]
    alpha[40:44, 60:65] = 0
    assert told(alpha) == []
