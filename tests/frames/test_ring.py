"""A ring goes round a place on the table, stays in the picture, and covers nothing of what it goes round."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.frames.ring import CLEAR, Oval, oval_of, ringed
from splitpin.measure.table import Stage, View

STAGE = Stage(480, 270, 400.0)
places = st.floats(-600, 600)


def test_the_ring_round_a_place_is_a_little_larger_than_it() -> None:
    found = oval_of((-50.0, 0.0, 50.0, 60.0), STAGE.whole(), STAGE)
    k = 480 / 400
    assert found == pytest.approx(Oval(240, 135 - 30 * k, 50 * k * CLEAR, 30 * k * CLEAR))


@given(places, places, places, places, st.floats(20, 800), st.floats(-180, 180))
def test_a_ring_has_a_size_and_its_middle_in_the_picture_wherever_the_place_is(
    x0: float, y0: float, x1: float, y1: float, width: float, angle: float
) -> None:
    box = (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
    found = oval_of(box, View(10, -20, width, angle), STAGE)
    assert 0 <= found.x <= 480
    assert 0 <= found.y <= 270
    assert 0 < found.across <= 240
    assert 0 < found.down <= 135


def test_a_ring_is_red_between_white_and_leaves_the_rest() -> None:
    grey = np.full((270, 480, 3), 90, np.uint8)
    drawn = ringed(grey, Oval(240, 135, 60, 40))
    assert (grey == 90).all()
    red, green, _ = drawn[135, 300].tolist()
    assert red > 1.5 * green
    y, x = np.nonzero((drawn != 90).any(axis=2))
    away = np.hypot((x - 240) / 60, (y - 135) / 40)
    assert 0.85 < away.min() < 1 < away.max() < 1.15
