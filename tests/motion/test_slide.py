"""Moves along a way: distances add up, places are exact."""

from __future__ import annotations

from itertools import pairwise
from math import hypot, isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.motion.samples import run
from tests.strategies import places


@given(x=places, y=places, to=st.tuples(places, places), count=st.integers(1, 200))
def test_a_slide_starts_where_it_lay_and_lands_exactly(
    x: float, y: float, to: tuple[float, float], count: int
) -> None:
    travel = run({"move": "slide", "to": to}, count, {"x": x, "y": y}).travel
    xs, ys = travel["x"], travel["y"]
    assert (xs[-1], ys[-1]) == to
    steps = [hypot(bx - ax, by - ay) for (ax, ay), (bx, by) in pairwise([(x, y), *zip(xs, ys, strict=True)])]  # type: ignore[operator]
    assert isclose(sum(steps), hypot(to[0] - x, to[1] - y), rel_tol=1e-9, abs_tol=1e-9)


def test_the_usual_slide_has_three_smaller_steps_at_each_end() -> None:
    """Common practice: 2 to 6 mm a position, three smaller steps at each end."""
    xs = run({"move": "slide", "by": [45, 0]}, 12).travel["x"]
    steps = [b - a for a, b in pairwise((0.0, *xs))]  # type: ignore[operator]
    assert steps == pytest.approx([1.25, 2.5, 3.75, 5, 5, 5, 5, 5, 5, 3.75, 2.5, 1.25])


@given(count=st.integers(1, 60))
def test_relative_curves_are_drawn_from_where_it_lies(count: int) -> None:
    curve = {"curve": [[10, 30]], "ease": "even"}
    here = run({"move": "slide", "by": [40, 0], **curve}, count).travel
    there = run({"move": "slide", "by": [40, 0], **curve}, count, {"x": 100.0, "y": -50.0}).travel
    assert [x + 100 for x in here["x"]] == pytest.approx(there["x"])  # type: ignore[operator]
    assert [y - 50 for y in here["y"]] == pytest.approx(there["y"])  # type: ignore[operator]


@given(count=st.integers(2, 80), start=st.floats(0.2, 3), end=st.floats(0.2, 3), x=places, y=places)
def test_an_approach_grows_by_equal_ratios_about_one_vanishing_point(
    count: int, start: float, end: float, x: float, y: float
) -> None:
    travel = run(
        {"move": "approach", "to": [10, -20], "scale": end}, count, {"x": x, "y": y, "scale": start}
    ).travel
    scales = [start, *travel["scale"]]
    ratios = [b / a for a, b in pairwise(scales)]  # type: ignore[operator]
    assert ratios == pytest.approx([ratios[0]] * count)
    if abs(end - start) > 0.05:
        vanishing = (10 * start - x * end) / (start - end)
        for px, scale in zip(travel["x"], travel["scale"], strict=True):
            assert (px - vanishing) / scale == pytest.approx((x - vanishing) / start, abs=1e-6)  # type: ignore[operator]


@given(count=st.integers(1, 80), by=st.floats(0.1, 10), start=st.floats(0.2, 3))
def test_growth_has_equal_ratios_and_ends_exactly(count: int, by: float, start: float) -> None:
    scales = [start, *run({"move": "growth", "by": by}, count, {"scale": start}).travel["scale"]]
    ratios = [b / a for a, b in pairwise(scales)]  # type: ignore[operator]
    assert ratios == pytest.approx([by ** (1 / count)] * count)
    assert scales[-1] == start * by


def test_a_set_of_sizes_is_shown_one_after_the_other() -> None:
    motion = run({"move": "growth", "sizes": [1, 2, 4]}, 6)
    assert motion.travel["scale"] == (1, 1, 2, 2, 4, 4)
    assert [k for name, k in motion.events if name == "swap"] == [0, 2, 4]
    assert run({"move": "growth", "sizes": [1, 2, 4]}, 1).travel["scale"] == (4,)
