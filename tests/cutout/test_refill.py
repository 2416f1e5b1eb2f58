"""The ground that holes are filled from: seen colours only, and none of the hole."""

from __future__ import annotations

import numpy as np
import pytest

from splitpin.cutout.mistake import CutError
from splitpin.cutout.refill import ground

RED, GREEN = (200, 0, 0), (0, 180, 0)


def test_clear_pixels_take_no_colour_from_inside_the_hole() -> None:
    rgb = np.full((6, 9, 3), GREEN, np.uint8)
    rgb[:, 4:6] = RED  # the scratch, right beside what is clear
    alpha = np.full((6, 9), 255, np.uint8)
    alpha[:, 6:] = 0
    hole = np.zeros((6, 9), bool)
    hole[:, 4:6] = True
    made = ground(rgb, alpha, hole)
    assert (made[:, :4] == GREEN).all()
    assert (made[:, 6:] == GREEN).all()
    assert np.array_equal(made[hole], rgb[hole])
    assert (ground(rgb, alpha)[:, 6:] == RED).all()


def test_a_hole_with_nothing_but_clear_pixels_around_it_is_refused() -> None:
    alpha = np.zeros((4, 4), np.uint8)
    alpha[1:3, 1:3] = 255
    with pytest.raises(CutError, match="nothing but clear pixels around the hole"):
        ground(np.zeros((4, 4, 3), np.uint8), alpha, alpha > 0)
    with pytest.raises(CutError, match="nothing but clear pixels"):
        ground(np.zeros((4, 4, 3), np.uint8), np.zeros((4, 4), np.uint8))
