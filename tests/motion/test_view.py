"""Moves of the camera's rectangle."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.motion.samples import read, run_view

from splitpin.measure.table import Stage, View

START = View(10, -5, 400, 3)


@given(count=st.integers(1, 200), nearer=st.floats(0.1, 10))
def test_an_even_track_has_equal_ratios_and_ends_exactly(count: int, nearer: float) -> None:
    widths = [400.0, *run_view({"move": "track", "nearer": nearer, "ease": "even"}, count).travel["width"]]
    ratios = [b / a for a, b in pairwise(widths)]  # type: ignore[operator]
    assert ratios == pytest.approx([nearer ** (-1 / count)] * count)
    assert widths[-1] == 400 / nearer


@given(count=st.integers(2, 60), width=st.floats(50, 1500), x=st.floats(-200, 200), y=st.floats(-200, 200))
def test_a_track_onto_a_place_leaves_one_point_of_the_table_still_on_the_screen(
    count: int, width: float, x: float, y: float
) -> None:
    if abs(width - 400) < 10:
        return
    travel = run_view({"move": "track", "width_mm": width, "onto": [x, y]}, count).travel
    assert (travel["x"][-1], travel["y"][-1], travel["width"][-1]) == (x, y, width)
    still = (400 * x - width * 10) / (400 - width), (400 * y - width * -5) / (400 - width)
    stage = Stage(1920, 1080, 400)
    wanted = stage.to_pixels(START).apply(*still)
    for vx, vy, w in zip(travel["x"], travel["y"], travel["width"], strict=True):
        view = View(float(vx), float(vy), float(w), 3)
        assert stage.to_pixels(view).apply(*still) == pytest.approx(wanted, abs=1e-4, rel=1e-6)


def test_camera_moves_are_on_ones() -> None:
    """Common practice: long moves on twos strobe."""
    for document in (
        {"move": "pan", "by": [1, 1]},
        {"move": "track", "nearer": 2},
        {"move": "tilt", "by": 3},
    ):
        assert read(document, "view").on == 1
        assert read(document | {"on": 2}, "view").on == 2


@given(count=st.integers(1, 90))
def test_pans_and_tilts_end_exactly(count: int) -> None:
    assert run_view({"move": "pan", "to": [70, 7]}, count).travel["x"][-1] == 70
    assert run_view({"move": "pan", "by": [70, 7]}, count).travel["y"][-1] == 2
    assert run_view({"move": "tilt", "by": -10}, count).travel["angle"][-1] == -7


def test_the_view_can_be_shaken_and_posed() -> None:
    assert set(run_view({"move": "shake", "degrees": 1}, 5).disturb) == {"x", "y", "angle"}
    assert run_view({"move": "posed", "values": [{"width": 300}, {"x": 4}]}, 2).travel == {
        "width": (300, 300),
        "x": (10, 4),
    }
