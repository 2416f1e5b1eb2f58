"""Millimetres and pixels meet in one place."""

from __future__ import annotations

from math import isclose

from hypothesis import given
from hypothesis import strategies as st

from splitpin.measure.table import Stage, View

STAGE = Stage(1920, 1080, 400.0)


def test_the_middle_of_the_field_is_the_middle_of_the_picture_and_up_is_up() -> None:
    whole = STAGE.to_pixels(STAGE.whole())
    assert whole.apply(0, 0) == (960, 540)
    assert whole.apply(-200, STAGE.field_height_mm / 2) == (0, 0)


def test_a_view_tilted_anticlockwise_turns_the_picture_clockwise() -> None:
    x, y = STAGE.to_pixels(View(0, 0, 400, 90)).apply(100, 0)
    assert isclose(x, 960, abs_tol=1e-9)
    assert y > 540


@given(x=st.floats(-500, 500), y=st.floats(-500, 500), width=st.floats(1, 2000), angle=st.floats(-180, 180))
def test_what_the_view_looks_at_is_in_the_middle_at_its_scale(
    x: float, y: float, width: float, angle: float
) -> None:
    to_pixels = STAGE.to_pixels(View(x, y, width, angle))
    middle = to_pixels.apply(x, y)
    assert isclose(middle[0], 960, abs_tol=1e-6)
    assert isclose(middle[1], 540, abs_tol=1e-6)
    assert isclose(to_pixels.stretch, 1920 / width, rel_tol=1e-9)
    assert to_pixels.determinant < 0
