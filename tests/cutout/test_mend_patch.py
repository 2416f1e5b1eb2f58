"""Holes from masks and pieces, and patches to print."""

from __future__ import annotations

import numpy as np
import pytest

from splitpin.cutout.mistake import CutError
from splitpin.cutout.patch import beside, grown, hole_in, hole_of, patch


def test_a_hole_is_what_is_light_or_what_is_painted_on_clear_ground() -> None:
    opaque = np.zeros((2, 3, 4), np.uint8)
    opaque[..., 3] = 255
    opaque[0, 1, :3] = 255
    assert hole_in(opaque).tolist() == [[False, True, False], [False, False, False]]
    clear = np.zeros((2, 3, 4), np.uint8)
    clear[1, 2] = (9, 9, 9, 200)
    assert hole_in(clear).tolist() == [[False, False, False], [False, False, True]]


def test_a_piece_leaves_a_hole_wherever_it_covers_anything() -> None:
    hole = hole_of(np.array([[0, 1], [255, 0]], np.uint8), (3, 1, 2, 2), (4, 6))
    assert np.argwhere(hole).tolist() == [[1, 4], [2, 3]]


def test_a_piece_of_another_picture_is_refused() -> None:
    with pytest.raises(CutError, match="within the picture's 6 × 4 pixels"):
        hole_of(np.full((2, 2), 255, np.uint8), (5, 1, 2, 2), (4, 6))


def test_a_hole_grows_round_about_by_a_distance() -> None:
    hole = np.zeros((21, 21), bool)
    hole[10, 10] = True
    y, x = np.mgrid[:21, :21] - 10
    assert np.array_equal(grown(hole, 5), np.hypot(y, x) <= 5)
    assert np.array_equal(grown(hole, 0), hole)


def test_a_patch_holds_the_hole_and_its_margin_and_is_clear_elsewhere() -> None:
    rgb = np.random.default_rng(0).integers(0, 256, (40, 50, 3), np.uint8)
    hole = np.zeros((40, 50), bool)
    hole[15:20, 2:10] = True
    made = patch(rgb, hole, 4)
    assert made.box == (0, 11, 14, 13)  # cut off at the picture's edge
    paper = made.rgba[..., 3] == 255
    assert np.array_equal(paper, grown(hole, 4)[11:24, :14])
    assert np.array_equal(made.rgba[paper][:, :3], rgb[11:24, :14][paper])
    assert not made.rgba[~paper].any()


def test_there_is_no_patch_without_a_hole() -> None:
    with pytest.raises(CutError, match="nothing"):
        patch(np.zeros((4, 4, 3), np.uint8), np.zeros((4, 4), bool), 2)


@pytest.mark.parametrize("wide", [1, 4, 10, 20, 30])
def test_the_hole_of_a_piece_takes_in_all_that_its_edge_touched_however_soft(wide: int) -> None:
    y, x = np.mgrid[:300, :300] + 0.5
    true = np.clip((90 - np.hypot(x - 150, y - 150)) / wide + 0.5, 0, 1)
    # As a cut finds it: what is fainter than a fiftieth is taken for nothing, here even a fifth.
    alpha = np.rint(np.where(true < 0.2, 0, true) * 255).astype(np.uint8)
    grow = beside(alpha)
    assert true[~grown(hole_of(alpha, (0, 0, 300, 300), (300, 300)), grow)].max() == 0
    assert grow == 3 if wide == 1 else grow <= 3 + wide


def test_a_piece_without_a_soft_edge_or_without_a_solid_middle_is_widened_by_a_little() -> None:
    assert beside(np.full((9, 9), 255, np.uint8)) == beside(np.full((9, 9), 90, np.uint8)) == 3
