"""Pieces that turn on their pins: bend, nod, snap."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.motion.samples import run

from splitpin.motion.move import Motion


def at(motion: Motion, event: str) -> list[int]:
    return [k for name, k in motion.events if name == event]


@given(count=st.integers(1, 80), start=st.floats(-20, 20), to=st.floats(-40, 40))
def test_a_bend_ends_exactly_and_never_goes_back(count: int, start: float, to: float) -> None:
    values = run({"move": "bend", "piece": "head", "to": to}, count, {"head.angle": start}).travel[
        "head.angle"
    ]
    assert values[-1] == to
    steps = [b - a for a, b in pairwise((start, *values))]  # type: ignore[operator]
    assert all(step * (to - start) >= 0 for step in steps)


def test_a_bend_may_go_right_up_to_its_limit_and_an_overshoot_not_past_it() -> None:
    assert run({"move": "bend", "piece": "head", "to": 40}, 6).travel["head.angle"][-1] == 40
    with pytest.raises(ValueError, match="its limits"):
        run({"move": "bend", "piece": "head", "to": 40, "ease": [0.3, 0, 0.3, 2]}, 12)


@given(count=st.integers(1, 90), times=st.integers(1, 9), both=st.booleans(), by=st.floats(1, 30))
def test_a_nod_reaches_its_angle_and_returns_each_time(count: int, times: int, both: bool, by: float) -> None:
    motion = run({"move": "nod", "piece": "jaw", "by": by, "times": times, "both": both}, count)
    values = motion.disturb["jaw.angle"]
    assert values[-1] == 0
    far = at(motion, "nod")
    fit = min(times, (count - 1) // 2 if both else count // 2)
    assert len(far) == fit * (2 if both else 1)
    assert [values[k] for k in far] == [-by if both and i % 2 else by for i in range(len(far))]
    assert all(-by * both <= value <= by for value in values)


def test_the_usual_snap_holds_backs_jumps_goes_over_and_settles() -> None:
    """Hold 6, back 1 to 2, jump 1, over 1, settle 2: the trade's timing (from memory)."""
    motion = run({"move": "snap", "by": [100, 0], "back": 0.12, "over": 0.1, "ease": "even"}, 12)
    assert motion.travel["x"] == pytest.approx((0, 0, 0, 0, 0, 0, -6, -12, 100, 110, 105, 100))
    assert at(motion, "hit") == [8]


@given(count=st.integers(1, 100))
def test_a_snap_jumps_in_one_position_however_long_it_lasts(count: int) -> None:
    motion = run({"move": "snap", "by": [100, 0], "turn_to": 30}, count)
    xs = (0.0, *motion.travel["x"])
    (hit,) = at(motion, "hit")
    assert xs[hit + 1] == pytest.approx(100)
    assert xs[hit] <= 0  # type: ignore[operator]
    assert xs[-1] == 100
    assert motion.travel["angle"][-1] == 30


@pytest.mark.parametrize(
    ("document", "channel"),
    [
        ({"move": "snap", "piece": "jaw", "turn_by": 20}, {"jaw.angle"}),
        ({"move": "snap", "piece": "jaw", "by": [1, 2]}, {"jaw.x", "jaw.y"}),
        ({"move": "snap", "to": [1, 2], "turn_to": 3}, {"x", "y", "angle"}),
    ],
)
def test_a_snap_takes_hold_of_what_it_is_told_to_and_of_nothing_else(
    document: dict[str, Any], channel: set[str]
) -> None:
    assert set(run(document, 12).travel) == channel
