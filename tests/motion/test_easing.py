"""Easing against values from outside, and the laws every easing keeps."""

from __future__ import annotations

from itertools import pairwise
from typing import get_args

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.motion.easing import CUBIC, EASES, Ease, NamedEase, ease_at, fractions

NAMES: list[NamedEase] = list(get_args(NamedEase))
controls = st.tuples(st.floats(0, 1), st.floats(-2, 3), st.floats(0, 1), st.floats(-2, 3))
eases = st.one_of(st.sampled_from(NAMES), controls)


@pytest.mark.parametrize(
    ("ease", "outputs"),
    [
        ("brisk", (0.408511, 0.802403, 0.960459)),
        ("slow-out", (0.093465, 0.315357, 0.621862)),
        ("slow-in", (0.378138, 0.684643, 0.906535)),
        ("slow-in-out", (0.129162, 0.5, 0.870838)),
        ("swing", (0.146447, 0.5, 0.853553)),
        ("start-stop", (0.125, 0.5, 0.875)),
    ],
)
def test_values_at_a_quarter_a_half_and_three_quarters(
    ease: NamedEase, outputs: tuple[float, float, float]
) -> None:
    """Control points of ease, ease-in, ease-out, ease-in-out: CSS Easing 1 (w3c/csswg-drafts); the outputs
    are computed from them. (1 - cos πx)/2 and constant acceleration then deceleration: arithmetic.
    """
    assert ease_at(ease, np.array([0.25, 0.5, 0.75])) == pytest.approx(outputs, abs=1e-6)
    assert fractions(ease, 4)[:3] == pytest.approx(outputs, abs=1e-6)


def test_control_numbers_written_out_are_the_named_curve() -> None:
    for name, numbers in CUBIC.items():
        assert fractions(numbers, 12) == fractions(name, 12)


def test_constant_acceleration_from_rest() -> None:
    """100 mm in 10 steps: the squares; the gaps are the odd numbers (Galileo; arithmetic)."""
    places = [0, *(round(100 * f, 9) for f in fractions("fall", 10))]
    assert places == [0, 1, 4, 9, 16, 25, 36, 49, 64, 81, 100]
    assert [b - a for a, b in pairwise(places)] == [1, 3, 5, 7, 9, 11, 13, 15, 17, 19]


def test_a_taper_has_three_smaller_steps_at_each_end_and_equal_ones_between() -> None:
    """Common practice of the trade."""
    steps = [b - a for a, b in pairwise((0.0, *fractions("taper", 12)))]
    assert [round(step / steps[5], 9) for step in steps] == [
        0.25,
        0.5,
        0.75,
        1,
        1,
        1,
        1,
        1,
        1,
        0.75,
        0.5,
        0.25,
    ]


@given(ease=eases, count=st.integers(1, 400))
def test_every_easing_ends_exactly_and_has_a_value_for_each_exposure(ease: Ease, count: int) -> None:
    done = fractions(ease, count)
    assert len(done) == count
    assert done[-1] == 1.0
    assert all(type(f) is float for f in done)


@given(name=st.sampled_from(NAMES), count=st.integers(1, 400))
def test_the_named_easings_never_go_back(name: NamedEase, count: int) -> None:
    assert all(a <= b for a, b in pairwise((0.0, *fractions(name, count))))


@given(
    name=st.sampled_from(["even", "taper", "slow-in-out", "swing", "start-stop"]), count=st.integers(1, 200)
)
def test_easings_with_two_like_ends_are_the_same_backwards(name: NamedEase, count: int) -> None:
    done = (0.0, *fractions(name, count))
    assert done == pytest.approx([1 - f for f in reversed(done)], abs=1e-9)


@given(count=st.integers(1, 200))
def test_a_rise_is_a_fall_backwards(count: int) -> None:
    fall, rise = (0.0, *fractions("fall", count)), (0.0, *fractions("rise", count))
    assert rise == pytest.approx([1 - f for f in reversed(fall)], abs=1e-9)


@given(numbers=controls, t=st.floats(0.001, 0.999))
def test_a_cubic_curve_passes_through_its_own_points(
    numbers: tuple[float, float, float, float], t: float
) -> None:
    """The Bézier polynomial itself, sampled by its parameter, is the reference."""
    x1, y1, x2, y2 = numbers
    x = 3 * (1 - t) ** 2 * t * x1 + 3 * (1 - t) * t * t * x2 + t**3
    y = 3 * (1 - t) ** 2 * t * y1 + 3 * (1 - t) * t * t * y2 + t**3
    slope = 3 * (1 - t) ** 2 * x1 + 6 * (1 - t) * t * (x2 - x1) + 3 * t * t * (1 - x2)
    if slope > 1e-3:  # where the curve stands upright a rounding error in x is any step in y
        assert float(ease_at(numbers, np.array([x]))[0]) == pytest.approx(y, abs=1e-9)


def test_each_named_easing_is_told_in_one_line() -> None:
    assert list(EASES) == NAMES
