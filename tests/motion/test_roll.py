"""A disc rolls without slipping."""

from __future__ import annotations

from itertools import pairwise
from math import hypot, isclose, pi
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.motion.samples import read
from tests.strategies import CUTOUTS

from splitpin.character.figure import lone
from splitpin.character.place import place
from splitpin.motion.move import Before, Motion, Span

COIN = lone("coin", CUTOUTS["disc"])
DIAMETER = 20.0


def roll(count: int = 24, pose: Any = None, **keys: Any) -> Motion:
    move = read({"move": "roll", "ease": "even"} | keys)
    return move.motion(Span(0, count, 1), Before(pose or {}, COIN), 0)


def test_one_circumference_is_one_turn_clockwise_to_the_right() -> None:
    """turns = travel / (π diameter): arithmetic."""
    assert roll(by=[pi * DIAMETER, 0]).travel["angle"][-1] == pytest.approx(-360)
    assert roll(by=[-pi * DIAMETER, 0]).travel["angle"][-1] == pytest.approx(360)


@given(scale=st.floats(0.1, 5), own=st.floats(0.1, 5), travel=st.floats(1, 500), count=st.integers(1, 40))
def test_a_larger_coin_turns_less(scale: float, own: float, travel: float, count: int) -> None:
    motion = roll(count, {"scale": scale, "piece.scale": own}, by=[travel, 0])
    assert motion.travel["angle"][-1] == pytest.approx(-360 * travel / (pi * DIAMETER * scale * own))


@given(
    ease=st.sampled_from(["even", "slow-in-out", "fall"]),
    shape=st.sampled_from([{}, {"arc": 40}, {"arc": -25}, {"curve": [[30, 60], [80, -40]]}]),
    flip=st.booleans(),
    backwards=st.booleans(),
)
def test_the_point_that_touches_the_ground_stands_still(
    ease: str, shape: dict[str, Any], flip: bool, backwards: bool
) -> None:
    """Over fine steps the point at the ground moves by the square of the step, as on a cycloid."""
    way = {
        key: [[-x, y] for x, y in value] if backwards and key == "curve" else value
        for key, value in shape.items()
    }
    pose = {"flip": flip, "x": 5.0, "y": 7.0}
    motion = roll(4000, pose, by=[-100 if backwards else 100, 0], ease=ease, **way)
    rows = list(zip(*(motion.travel[c] for c in ("x", "y", "angle")), strict=True))
    for (x0, y0, a0), (x1, y1, a1) in pairwise(rows[1000:1400:20]):
        step = hypot(x1 - x0, y1 - y0)
        hand = 1 if backwards else -1  # the ground is on the right hand going right, on the left going left
        touch = (
            x0 - hand * (y1 - y0) / step * DIAMETER / 2,
            y0 + hand * (x1 - x0) / step * DIAMETER / 2,
        )
        before = place(COIN, pose | {"x": x0, "y": y0, "angle": a0})[0].matrix
        after = place(COIN, pose | {"x": x1, "y": y1, "angle": a1})[0].matrix
        moved = after.apply(*before.inverse().apply(*touch))
        assert hypot(moved[0] - touch[0], moved[1] - touch[1]) < 0.1 * step + 1e-9


@given(by=st.floats(-400, 400), count=st.integers(1, 60), arc=st.floats(-50, 50))
def test_travel_and_turn_keep_step_on_every_exposure(by: float, count: int, arc: float) -> None:
    motion = roll(count, by=[by, 0], arc=arc)
    turned = [0.0, *motion.travel["angle"]]
    steps = [abs(b - a) for a, b in pairwise(turned)]  # type: ignore[operator]
    assert all(isclose(step, steps[0], rel_tol=1e-6, abs_tol=1e-6) for step in steps)


def test_events_tell_each_whole_turn_and_the_landing() -> None:
    events = roll(20, by=[2 * pi * DIAMETER, 0]).events
    assert events == (("start", 0), ("turn", 9), ("turn", 19), ("landing", 19), ("end", 19))
