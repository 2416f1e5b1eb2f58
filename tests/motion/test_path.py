"""Ways: their lengths, and places at fractions of their lengths."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, isclose, pi, sin, sqrt

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from splitpin.motion.path import Arc, Straight, Way, arc, bezier, drawn

coordinate = st.floats(-300, 300)
spots = st.tuples(coordinate, coordinate)
KAPPA = 0.5522847498


@st.composite
def ways(draw: st.DrawFn) -> Way:
    """Ways of every kind."""
    start, end = draw(spots), draw(spots)
    kind = draw(st.sampled_from(["straight", "arc", "one", "two", "drawn"]))
    if kind == "straight":
        return Straight(start, end)
    if kind == "arc":
        return arc(start, end, draw(st.floats(-200, 200)))
    if kind == "drawn":
        return drawn([start, *draw(st.lists(spots, max_size=12)), end])
    return bezier(
        start, draw(st.lists(spots, min_size=1 + (kind == "two"), max_size=1 + (kind == "two"))), end
    )


def test_the_length_of_a_parabola() -> None:
    """y = x² on 0..1: √5/2 + asinh(2)/4 = 1.478942857545 (calculus), to 1e-9."""
    assert bezier((0, 0), [(0.5, 0)], (1, 1)).length == pytest.approx(1.478942857545, abs=1e-9)


def test_the_length_of_a_cubic() -> None:
    """(0,0) (0,1) (1,1) (1,0) is 2 long exactly (calculus), to 1e-9."""
    assert bezier((0, 0), [(0, 1), (1, 1)], (1, 0)).length == pytest.approx(2.0, abs=1e-9)


def test_the_length_of_a_quarter_circle_as_one_cubic() -> None:
    """κ = .5522847498: 1.57101670 (computed; the true quarter is 1.57079633)."""
    quarter = bezier((1, 0), [(1, KAPPA), (KAPPA, 1)], (0, 1))
    assert quarter.length == pytest.approx(1.57101670, abs=1e-8)


def test_places_on_the_parabola_are_at_the_wanted_lengths() -> None:
    """The closed form of the length of y = x² from 0 to x: x√(1+4x²)/2 + asinh(2x)/4 (calculus)."""
    parabola = bezier((0, 0), [(0.5, 0)], (1, 1))
    wanted = np.linspace(0, 1, 101)
    xs, ys = parabola.at(wanted.tolist())
    for f, x, y in zip(wanted, xs, ys, strict=True):
        assert y == pytest.approx(x * x, abs=1e-12)
        length = x * sqrt(1 + 4 * x * x) / 2 + np.arcsinh(2 * x) / 4
        assert length == pytest.approx(f * 1.478942857545, abs=1e-9)


def test_a_high_arc_is_part_of_a_circle() -> None:
    way = arc((-10, 0), (10, 0), 10)
    assert isinstance(way, Arc)
    assert way.length == pytest.approx(10 * pi)
    xs, ys = way.at([0.25, 0.5, 0.75])
    assert xs == pytest.approx([-10 * cos(pi / 4), 0, 10 * cos(pi / 4)])
    assert ys == pytest.approx([10 * sin(pi / 4), 10, 10 * sin(pi / 4)])


@given(start=spots, end=spots, height=st.floats(0.1, 300))
def test_an_arc_bulges_upwards_by_its_height_whichever_way_it_goes(
    start: tuple[float, float], end: tuple[float, float], height: float
) -> None:
    assume(abs(start[0] - end[0]) > 0.01)
    (x,), (y,) = arc(start, end, height).at([0.5])
    middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    assert isclose(hypot(x - middle[0], y - middle[1]), height, rel_tol=1e-6)
    assert y > middle[1]
    (_,), (under,) = arc(start, end, -height).at([0.5])
    assert under < middle[1]


def test_an_arc_from_a_place_to_itself_is_a_whole_circle() -> None:
    way = arc((5, 5), (5, 5), 20)
    assert way.length == pytest.approx(20 * pi)
    (x,), (y,) = way.at([0.5])
    assert (x, y) == pytest.approx((5, 25))


@given(way=ways())
def test_ways_start_and_end_exactly(way: Way) -> None:
    xs, ys = way.at([0.0, 1.0])
    again, _ = way.at([0.0])
    assert again == [xs[0]]
    if isinstance(way, Straight | Arc):
        assert ((xs[0], ys[0]), (xs[1], ys[1])) == (way.start, way.end)


@given(way=ways(), count=st.integers(1, 30))
def test_equal_fractions_are_equal_lengths(way: Way, count: int) -> None:
    """A chord is never longer than its part of the way, and fine chords add up to it."""
    fine = 40
    f = np.arange(count * fine + 1) / (count * fine)
    xs, ys = way.at(f.tolist())
    chords = np.hypot(np.diff(xs), np.diff(ys))
    part = way.length / (count * fine)
    assert np.all(chords <= part * (1 + 1e-6) + 1e-6)


@given(start=spots, controls=st.lists(spots, min_size=1, max_size=2), end=spots)
def test_the_length_of_a_curve_is_that_of_very_many_chords(
    start: tuple[float, float], controls: list[tuple[float, float]], end: tuple[float, float]
) -> None:
    way = bezier(start, controls, end)
    t = np.linspace(0, 1, 20_001)[:, None]
    points = [np.asarray(spot)[None] for spot in (start, *controls, end)]
    while len(points) > 1:  # de Casteljau's construction
        points = [a * (1 - t) + b * t for a, b in pairwise(points)]
    chords = float(np.hypot(*np.diff(points[0], axis=0).T).sum())
    assert way.length == pytest.approx(chords, rel=1e-6, abs=1e-6)


@given(places=st.lists(spots, min_size=2, max_size=15))
def test_a_drawn_way_passes_through_every_place(places: list[tuple[float, float]]) -> None:
    way = drawn(places)
    xs, ys = way.at(np.linspace(0, 1, 1001).tolist())
    for x, y in places:
        nearest = float(np.hypot(np.asarray(xs) - x, np.asarray(ys) - y).min())
        assert nearest <= way.length / 1000 + 1e-6


def test_a_way_of_no_length_stays_where_it_is() -> None:
    for way in (Straight((3, 4), (3, 4)), bezier((3, 4), [(3, 4)], (3, 4)), drawn([(3, 4)] * 5)):
        assert way.length == 0
        assert way.at([0.0, 0.3, 1.0]) == ([3, 3, 3], [4, 4, 4])


@given(way=ways(), beyond=st.floats(0.01, 0.5))
def test_past_its_ends_a_way_goes_on_as_far_as_asked(way: Way, beyond: float) -> None:
    assume(way.length > 1 and not isinstance(way, Arc))
    xs, ys = way.at([-beyond, 0.0, 1.0, 1.0 + beyond])
    for a, b in ((0, 1), (2, 3)):
        assert isclose(hypot(xs[b] - xs[a], ys[b] - ys[a]), beyond * way.length, rel_tol=1e-6, abs_tol=1e-6)


def test_past_its_ends_a_way_keeps_its_direction() -> None:
    xs, ys = bezier((0, 0), [(0, 10), (10, 10)], (10, 0)).at([-0.1, 1.1])
    assert xs == pytest.approx([0, 10])
    assert ys == pytest.approx([-2, -2])


def test_a_way_that_turns_on_the_spot_is_measured_to_its_turn_and_back() -> None:
    """On the line y = 165 t(1-t) + t³ the way is up to the greatest y and back to 1 (calculus)."""
    t = 55 - sqrt(55**2 - 55)
    top = 165 * t * (1 - t) + t**3
    assert bezier((0, 0), [(0, 55), (0, 55)], (0, 1)).length == pytest.approx(2 * top - 1, abs=1e-9)


def test_a_cusp_is_measured_and_walked() -> None:
    """(0,0) (1,1) (0,1) (1,0) turns on a point; its halves are mirror images."""
    way = bezier((0, 0), [(1, 1), (0, 1)], (1, 0))
    (x,), (y,) = way.at([0.5])
    assert (x, y) == pytest.approx((0.5, 0.75), abs=1e-6)
