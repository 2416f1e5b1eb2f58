"""What jumps and falls does so as bodies do."""

from __future__ import annotations

from itertools import pairwise
from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.motion.samples import run

from splitpin.motion.move import Motion


def at(motion: Motion, event: str) -> list[int]:
    return [k for name, k in motion.events if name == event]


@given(count=st.integers(2, 120), times=st.integers(1, 8), again=st.floats(0.2, 1), height=st.floats(1, 100))
def test_falls_have_gaps_of_one_three_five_and_rises_are_a_share_of_the_last(
    count: int, times: int, again: float, height: float
) -> None:
    """Constant acceleration (Galileo); each rise about two thirds of the last is common practice."""
    motion = run({"move": "bounce", "times": times, "again": again, "height": height}, count)
    ys = [0.0, *motion.disturb["y"]]
    hits = [0, *(k + 1 for k in at(motion, "hit"))]
    assert len(hits) == min(times, count // 2) + 1
    for i, (start, end) in enumerate(pairwise(hits)):
        top = max(range(start, end + 1), key=lambda k: ys[k])
        assert isclose(ys[top], height * again**i, rel_tol=1e-9)
        assert ys[end] == 0
        gaps = [a - b for a, b in pairwise(ys[top : end + 1])]
        assert gaps == pytest.approx([gaps[0] * (2 * k + 1) for k in range(len(gaps))])
        rises = [b - a for a, b in pairwise(ys[start : top + 1])]
        assert rises == pytest.approx([rises[-1] * (2 * k + 1) for k in reversed(range(len(rises)))])


def test_the_usual_bounce_falls_in_three_positions() -> None:
    motion = run({"move": "bounce", "height": 9}, 16)
    assert motion.disturb["y"][:6] == pytest.approx((5, 8, 9, 8, 5, 0))
    assert max(motion.disturb["y"][6:12]) == pytest.approx(6)
    assert at(motion, "hit") == [5, 11, 15]


def test_what_is_dropped_begins_with_its_fall() -> None:
    motion = run({"move": "bounce", "height": 9, "dropped": True, "times": 1}, 3)
    assert motion.disturb["y"] == pytest.approx((8, 5, 0))
    assert at(motion, "hit") == [2]


def test_the_usual_hop_crouches_flies_lands_and_settles() -> None:
    """2 crouch, 4 to 5 air, 1 land, 2 settle: the trade's timing (from memory)."""
    motion = run({"move": "hop", "by": [60, 0], "height": 36, "crouch": 3}, 10)
    xs, ys = motion.travel["x"], motion.travel["y"]
    assert xs == pytest.approx((0, 0, 10, 20, 30, 40, 50, 60, 60, 60))
    assert ys == pytest.approx((-1.5, -3, 20, 32, 36, 32, 20, -3, -3 * (1 - 0.684643), 0), abs=1e-5)
    assert motion.events == (("start", 0), ("leap", 2), ("landing", 7), ("end", 9))


@given(
    count=st.integers(1, 100), times=st.integers(1, 9), to=st.tuples(st.floats(-99, 99), st.floats(-99, 99))
)
def test_hops_land_exactly_one_after_the_other(count: int, times: int, to: tuple[float, float]) -> None:
    motion = run({"move": "hop", "to": to, "times": times}, count)
    assert (motion.travel["x"][-1], motion.travel["y"][-1]) == to
    hops = min(times, count)
    assert len(at(motion, "landing")) == len(at(motion, "leap")) == hops
    for i, k in enumerate(at(motion, "landing")):
        assert motion.travel["x"][k] == pytest.approx(to[0] * (i + 1) / hops)


@given(count=st.integers(1, 100), height=st.floats(0, 50))
def test_the_air_of_a_hop_is_a_thrown_curve(count: int, height: float) -> None:
    """Equal steps sideways, second differences of the height all alike (constant acceleration)."""
    motion = run({"move": "hop", "by": [50, 0], "height": height, "crouch": 0}, count)
    leap, landing = at(motion, "leap")[0], at(motion, "landing")[0]
    ys = [0.0, *motion.travel["y"][leap : landing + 1]]
    steps = [b - a for a, b in pairwise(ys)]  # type: ignore[operator]
    bends = [b - a for a, b in pairwise(steps)]
    assert bends == pytest.approx([bends[0]] * len(bends) if bends else [], abs=1e-9)


@given(count=st.integers(1, 80), mm=st.floats(0.1, 30))
def test_a_shake_goes_to_and_fro_and_dies_away(count: int, mm: float) -> None:
    xs = run({"move": "shake", "mm": mm}, count).disturb["x"]
    assert max(map(abs, xs)) <= mm
    assert count == 1 or xs[0] == pytest.approx(mm)
    assert all(abs(a) > abs(b) for a, b in pairwise(xs))
    assert all(a * b < 0 for a, b in pairwise(xs[:-1]))
