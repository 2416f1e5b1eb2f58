"""Planted feet do not slide."""

from __future__ import annotations

from itertools import pairwise
from math import hypot
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.motion.samples import read
from tests.strategies import WALKER, poses

from splitpin.character.place import place
from splitpin.character.pose import Value
from splitpin.motion.move import Before, Motion, Span

Pose = dict[str, Value]
FEET = ["left", "right"]
FIXED = 0.01
"""How far a planted foot may be moved, mm."""


def walk(pose: Pose, positions: int, **keys: Any) -> Motion:
    move = read({"move": "walk", "feet": FEET, "by": [100, 0]} | keys)
    return move.motion(Span(0, positions * 2, 2), Before(pose, WALKER), 0)


def on_the_table(pose: Pose, motion: Motion) -> list[dict[str, tuple[float, float]]]:
    """Where the pins of the pieces are before the walk and on each of its positions."""
    count = len(motion.travel["x"])
    rows = [pose] + [pose | {c: values[k] for c, values in motion.travel.items()} for k in range(count)]
    return [{p.piece: p.pin for p in place(WALKER, row)} for row in rows]


def apart(a: tuple[float, float], b: tuple[float, float]) -> float:
    return hypot(a[0] - b[0], a[1] - b[1])


@given(
    pose=poses(),
    steps=st.integers(1, 7),
    each=st.integers(1, 9),
    by=st.tuples(st.floats(-200, 200), st.floats(-200, 200)),
    arc=st.floats(-40, 40),
)
def test_one_foot_is_always_planted_and_does_not_slide(
    pose: Pose, steps: int, each: int, by: tuple[float, float], arc: float
) -> None:
    """Through place(), flipped, scaled and turned anyhow: the foot whose turn it is not stays."""
    rows = on_the_table(pose, walk(pose, steps * each, steps=steps, by=by, arc=arc))
    for step in range(steps):
        planted = FEET[(step + 1) % 2]
        during = rows[step * each : (step + 1) * each + 1]
        assert all(apart(row[planted], during[0][planted]) < FIXED for row in during)


@given(pose=poses(), positions=st.integers(5, 40), steps=st.integers(2, 5))
def test_feet_are_planted_whatever_the_number_of_positions(pose: Pose, positions: int, steps: int) -> None:
    """Between two positions at least one foot is where it was."""
    rows = on_the_table(pose, walk(pose, positions, steps=steps))
    for a, b in pairwise(rows):
        assert min(apart(a[foot], b[foot]) for foot in FEET) < FIXED


@given(pose=poses(), positions=st.integers(1, 40), steps=st.integers(2, 5))
def test_a_walk_arrives_exactly_with_its_feet_under_it(pose: Pose, positions: int, steps: int) -> None:
    travel = walk(pose, positions, steps=steps, by=None, to=[33.3, -7.7]).travel
    assert (travel["x"][-1], travel["y"][-1]) == (33.3, -7.7)
    assert [travel[f"{foot}.{c}"][-1] for foot in FEET for c in "xy"] == [0.0] * 4


@given(steps=st.integers(2, 8))
def test_the_body_is_highest_in_passing_and_lowest_when_a_foot_plants(steps: int) -> None:
    heights = [0.0, *walk({}, 6 * steps, rise=2, steps=steps).travel["y"]]
    for step in range(steps):
        during = heights[6 * step : 6 * step + 7]
        assert max(during) == during[3] == pytest.approx(2)
        assert during[0] == pytest.approx(0, abs=1e-9)


@given(pose=poses(shifted=False), steps=st.integers(2, 6))
def test_a_swinging_foot_is_lifted_and_passes_in_the_middle_of_its_step(pose: Pose, steps: int) -> None:
    pose = pose | {"angle": 0.0}
    rows = on_the_table(pose, walk(pose, 6 * steps, steps=steps, lift=6))
    for step in range(steps):
        foot = FEET[step % 2]
        start, middle, end = (rows[6 * step + k][foot] for k in (0, 3, 6))
        assert middle[1] == pytest.approx((start[1] + end[1]) / 2 + 6)
        assert middle[0] == pytest.approx((start[0] + end[0]) / 2)


def test_the_body_follows_after_the_first_foot_has_left() -> None:
    xs = walk({}, 24, steps=4).travel["x"]
    assert xs[:3] == (0.0, 0.0, 0.0)
    assert all(a <= b for a, b in pairwise(xs))  # type: ignore[operator]


def test_each_step_is_an_event_on_its_contact() -> None:
    assert [k for name, k in walk({}, 24, steps=4).events if name == "step"] == [5, 11, 17, 23]
    assert [k for name, k in walk({}, 24).events if name == "step"] == [5, 11, 17, 23]


def test_a_second_walk_goes_on_from_where_the_feet_are() -> None:
    """One step leaves the other foot behind; the next walk takes it from there."""
    first = walk({}, 6, steps=1, by=[20, 0])
    stands: Pose = {channel: values[-1] for channel, values in first.travel.items()}
    rows = on_the_table(stands, walk(stands, 12, steps=2, by=[30, 0], feet=["right", "left"]))
    before = {p.piece: p.pin for p in place(WALKER, stands)}
    assert apart(rows[1]["left"], before["left"]) < FIXED
    assert apart(rows[-1]["left"], before["left"]) == pytest.approx(30)


def test_four_feet_step_in_pairs() -> None:
    motion = walk({}, 12, steps=2, feet=["left", "right", "lids"])
    assert {"left.x", "right.x", "lids.x"} <= set(motion.travel)
    rows = on_the_table({}, motion)
    assert apart(rows[0]["lids"], rows[6]["lids"]) > 1
