"""A turned picture keeps its size; the corners it does not reach are quiet, and are told of."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.halftone import photo

from splitpin.picture.find_fit import Wanted, find_fit
from splitpin.picture.turn import edge_tone, inner_box, leaves_corners, straightened, straightened_clear


def test_the_corners_of_a_turned_page_have_the_tone_of_its_paper() -> None:
    page = np.full((300, 400, 3), (236, 228, 205), np.uint8)
    page[100:200, 100:300] = 40
    turned = straightened(page, 8.0)
    assert {tuple(turned[y, x].tolist()) for y in (0, -1) for x in (0, -1)} == {(236, 228, 205)}


def test_no_streaks_run_into_the_corners_of_a_turned_photograph() -> None:
    cat = photo("chelsea")
    turned = straightened(cat, 10.0)
    tone = np.rint(edge_tone(cat))
    assert np.array_equal(turned[0, 0], tone)
    assert np.ptp(turned[-5:, -40:].reshape(-1, 3), axis=0).max() <= 1


@pytest.mark.parametrize("around", [0, 255])
def test_corners_are_as_clear_as_the_edge_is(around: int) -> None:
    alpha = np.full((120, 160), around, np.uint8)
    alpha[30:90, 40:120] = 255
    _, shown = straightened_clear(photo("chelsea")[:120, :160], alpha, 12.0)
    assert {int(shown[y, x]) for y in (0, -1) for x in (0, -1)} == {around}
    assert shown[60, 80] == 255


@given(st.integers(20, 3000), st.integers(20, 3000), st.floats(-45, 45))
def test_the_box_that_is_told_has_no_corner_and_one_much_larger_has(
    wide: int, high: int, angle: float
) -> None:
    left, top, across, down = inner_box(wide, high, angle)
    assert not leaves_corners((left, top, across, down), wide, high, angle)
    if abs(angle) > 3 and min(wide, high) > 100:
        assert leaves_corners((0, 0, wide, high), wide, high, angle)
        more = (left - 5, top - 5, across + 10, down + 10)
        assert leaves_corners(more, wide, high, angle) or max(wide, high) > 6 * min(wide, high)


def test_a_picture_that_is_not_turned_has_no_such_corners() -> None:
    assert not leaves_corners((0, 0, 300, 200), 300, 200, 0.0)


def test_filled_corners_are_no_paper() -> None:
    """A picture with a pale edge, turned: its corners would be the brightest even tone of all."""
    cat = photo("chelsea")
    straight = find_fit(cat, Wanted(straighten=False)).fit
    turned = find_fit(cat, Wanted(angle=12.0)).fit
    assert (turned.white, turned.black) == (straight.white, straight.black)
