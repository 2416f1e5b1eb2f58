"""Two links that reach for a point."""

from __future__ import annotations

from math import cos, hypot, isclose, radians, sin

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from splitpin.character.reach import Reach, reach

lengths = st.floats(0.5, 200)


def tip(first: float, second: float, angles: Reach) -> tuple[float, float]:
    a, b = radians(angles.first), radians(angles.first + angles.second)
    return first * cos(a) + second * cos(b), first * sin(a) + second * sin(b)


def test_links_of_100_and_80_reach_120_60_in_two_ways() -> None:
    """Arithmetic: the law of cosines, to 1e-6."""
    left, right = reach(100, 80, 120, 60), reach(100, 80, 120, 60, left=False)
    assert (round(left.first, 6), round(left.second, 6)) == (-9.826193, 84.260830)
    assert (round(right.first, 6), round(right.second, 6)) == (62.956295, -84.260830)
    assert left.short_by < 1e-9


def test_links_of_3_and_4_reach_5_with_a_right_angle() -> None:
    """The 3-4-5 triangle."""
    assert isclose(reach(3, 4, 5, 0).second, 90)


@example(a=0.9420169703720083, b=107.0, along=0.0, angle=0.0, left=False)  # the links lie folded
@given(a=lengths, b=lengths, along=st.floats(0, 1), angle=st.floats(-180, 180), left=st.booleans())
def test_what_is_within_reach_is_reached(a: float, b: float, along: float, angle: float, left: bool) -> None:
    distance = abs(a - b) + (a + b - abs(a - b)) * along
    x, y = distance * cos(radians(angle)), distance * sin(radians(angle))
    bent = reach(a, b, x, y, left=left)
    reached = tip(a, b, bent)
    assert hypot(reached[0] - x, reached[1] - y) < 1e-5
    assert bent.short_by < 1e-6
    assert bent.second >= 0 if left else bent.second <= 0


@given(a=lengths, b=lengths, further=st.floats(0.1, 100), angle=st.floats(-180, 180))
def test_out_of_reach_the_links_lie_straight_towards_it_and_say_so(
    a: float, b: float, further: float, angle: float
) -> None:
    distance = a + b + further
    x, y = distance * cos(radians(angle)), distance * sin(radians(angle))
    straight = reach(a, b, x, y)
    reached = tip(a, b, straight)
    assert isclose(straight.short_by, further, rel_tol=1e-9, abs_tol=1e-9)
    assert isclose(hypot(x - reached[0], y - reached[1]), further, rel_tol=1e-6)


@given(a=lengths, b=lengths, closer=st.floats(0.01, 0.99))
def test_too_near_the_links_lie_folded_and_say_so(a: float, b: float, closer: float) -> None:
    near = abs(a - b)
    folded = reach(a, b, near * closer, 0)
    assert isclose(folded.short_by, near * (1 - closer), rel_tol=1e-9, abs_tol=1e-9)


@pytest.mark.parametrize("links", [(0.0, 1.0), (1.0, 0.0), (-1.0, 1.0)])
def test_a_link_without_length_is_refused(links: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="longer than nought"):
        reach(*links, 1, 1)
