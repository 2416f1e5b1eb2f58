"""What a person is told to look at in a piece."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from splitpin.cutout.cut import Piece, cut
from splitpin.cutout.doubts import doubts
from splitpin.cutout.recipe import Recipe, Stroke
from splitpin.cutout.scraps import LeftOut
from splitpin.cutout.stroke_doubts import stroke_doubts


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


def test_two_hundred_strokes_against_two_hundred_are_told_in_a_few_words() -> None:
    keep = [Stroke(points=[(10, 10 + k), (230, 10 + k)], radius=20) for k in range(150)]
    drop = [Stroke(points=[(20 + k, 5), (20 + k, 195)], radius=20) for k in range(200)]
    found = [d.found for d in stroke_doubts(Recipe(box=(0, 0, 240, 200), keep=keep, drop=drop), 240, 200)]
    assert len(found) == 5
    assert found[-1].endswith("other pairs do")


def test_strokes_that_nothing_listens_to_are_told_with_their_numbers_and_place() -> None:
    loop = (50.0, 30.0, 140.0, 140.0)
    inside = Stroke(points=[(90, 100), (150, 100)], radius=4)
    off = Stroke(points=[(210, 20)], radius=4)
    across = Stroke(points=[(150, 100), (210, 100)], radius=4)
    (found,) = said(Recipe(box=loop, drop=[off]))
    assert found == "drop 1 lies outside of the loop, drop 1 near 210, 20"
    assert said(Recipe(box=loop, keep=[inside, off, off]))[0].startswith(
        "keep 2 and 3 lie outside of the loop"
    )
    partly = said(Recipe(box=loop, keep=[inside, across]))[0]
    assert partly.startswith("keep 2 lies partly outside of the loop: 32% of keep 2, near 201, 100")
    # Dropping beyond the loop asks for nothing else than what is so.
    beside = Stroke(points=[(184, 100), (210, 100)], radius=2)
    assert said(Recipe(box=loop, drop=[beside])) == []
    outside_the_picture = Stroke(points=[(900, 900), (950, 900)], radius=4)
    assert said(Recipe(box=loop, keep=[outside_the_picture]))[0].endswith("keep 1 near 925, 900")


def test_a_box_that_reaches_far_over_the_picture_is_told() -> None:
    (found,) = said(Recipe(box=(50, 30, 140, 300)))
    assert found == "it reaches from 50, 30 to 190, 330"


def test_what_a_knife_with_points_does_not_look_at_is_told() -> None:
    points = [(120.0, 40.0), (180.0, 100.0), (120.0, 160.0), (60.0, 100.0)]
    keep = [Stroke(points=[(120, 100)], radius=4)]
    assert said(Recipe(edge="knife", knife=points)) == []
    (found,) = said(Recipe(edge="knife", knife=points, box=(50, 30, 140, 140), keep=keep))
    assert found == "strokes and a box beside the knife's own points"
    (found,) = said(Recipe(box=(50, 30, 140, 140), knife=points))
    assert found == "4 points for the knife, and a soft edge"


def test_a_part_that_was_left_out_is_told() -> None:
    rgb, recipe = picture(), Recipe(box=(50, 30, 140, 140))
    piece = cut(rgb, recipe)._replace(left_out=LeftOut(3, (170, 40), 60))
    (found,) = [d.found for d in doubts(rgb, recipe, piece)]
    assert found == "3 parts were left out; the largest, 60 pixels, lay near 170, 40"


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
