"""Laws of plane affine maps, and values from outside."""

from __future__ import annotations

from math import isclose

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from splitpin.measure.affine import Affine, move, stretch, turn, turn_about

numbers = st.floats(-100, 100)
maps = st.builds(Affine, numbers, numbers, numbers, numbers, numbers, numbers)
points = st.tuples(numbers, numbers)


def near(a: tuple[float, ...], b: tuple[float, ...], within: float = 1e-6) -> bool:
    return all(isclose(p, q, rel_tol=within, abs_tol=within) for p, q in zip(a, b, strict=True))


def test_the_nested_example_of_svg() -> None:
    """SVG 1.1, 7.4's example of nested transforms (from memory; computed, 1e-4 as printed)."""
    nested = move(130, 160).then(turn(-45)).then(move(50, 90))
    x, y = nested.apply(0, 0)
    assert round(x, 4) == 255.0610
    assert round(y, 4) == 111.2132


def test_a_turn_about_a_point() -> None:
    """Arithmetic on SVG 1.1's rotate(a, x, y)."""
    about = turn_about(30, 100, 50)
    assert near((about.e, about.f), (38.397460, -43.301270))
    assert near(about.apply(150, 50), (143.301270, 75.0))


@given(a=maps, b=maps, c=maps)
def test_doing_maps_one_after_the_other_is_associative(a: Affine, b: Affine, c: Affine) -> None:
    assert near(a.then(b).then(c), a.then(b.then(c)))


@given(a=maps, b=maps, p=points)
def test_then_does_the_first_map_first(a: Affine, b: Affine, p: tuple[float, float]) -> None:
    assert near(a.then(b).apply(*p), b.apply(*a.apply(*p)))


@given(a=maps, p=points)
def test_the_inverse_leads_back(a: Affine, p: tuple[float, float]) -> None:
    assume(abs(a.determinant) > 1)
    assert near(a.inverse().apply(*a.apply(*p)), p)
    assert near(a.then(Affine()), a)


def test_a_flattened_plane_has_no_way_back() -> None:
    with pytest.raises(ZeroDivisionError):
        stretch(1, 0).inverse()


@given(a=maps, b=maps)
def test_areas_multiply(a: Affine, b: Affine) -> None:
    assert isclose(a.then(b).determinant, a.determinant * b.determinant, rel_tol=1e-9, abs_tol=1e-6)


@given(angle=st.floats(-179, 179), p=points)
def test_turns_keep_lengths_and_tell_their_angle(angle: float, p: tuple[float, float]) -> None:
    x, y = turn(angle).apply(*p)
    assert isclose(x * x + y * y, p[0] ** 2 + p[1] ** 2, rel_tol=1e-9, abs_tol=1e-9)
    assert isclose(turn(angle).angle, angle, abs_tol=1e-9)
    assert isclose(turn(angle).stretch, 1.0)


def test_a_turn_is_anticlockwise_where_y_is_up() -> None:
    assert near(turn(90).apply(1, 0), (0, 1))
