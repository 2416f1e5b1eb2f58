"""Planted feet stay where they are, whatever else moves the one who walks."""

from __future__ import annotations

from fractions import Fraction
from math import hypot
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.motion.samples import MEMBER_MOVES
from tests.strategies import WALKER, poses

from splitpin.character.place import joints
from splitpin.character.pose import Value
from splitpin.character.stand import standing
from splitpin.measure.table import Stage
from splitpin.scene.scene import Scene
from splitpin.sheet.expose import Exposed, expose

STAGE = Stage(1920, 1080, 400.0)
FEET = ["left", "right"]
FIXED = 0.01
"""How far a planted foot may be moved, mm."""
STEPS, EACH = 4, 6
WALK = {"move": "walk", "who": "cat", "by": [80, 10], "feet": FEET, "steps": STEPS, "positions": STEPS * EACH}
OTHERS = [move for move in MEMBER_MOVES if move["move"] not in ("walk", "hold")]


def exposed(*moves: dict[str, Any], **keys: Any) -> Exposed:
    document = {
        "format": 1,
        "panels": [{"name": "one", "seconds": 3}],
        "cast": {"cat": {"character": "cat", "x": -30, "angle": 5}},
        "moves": list(moves),
    } | keys
    scene = Scene.model_validate(document)
    return expose("t", scene, {"cat": WALKER}, STAGE, Fraction(24), 2)


def slides(found: Exposed) -> float:
    """How far the foot that is planted is ever moved within a step, while it is seen."""
    feet = [{p.piece: p.pin for p in row.placed} for row in found.sheet.rows]
    worst = 0.0
    for step in range(STEPS):
        planted = FEET[(step + 1) % 2]
        during = [row[planted] for row in feet[step * EACH : (step + 1) * EACH] if planted in row]
        worst = max([worst, *(hypot(x - during[0][0], y - during[0][1]) for x, y in during)])
    return worst


@pytest.mark.parametrize("other", OTHERS, ids=str)
@pytest.mark.parametrize("start", [0.0, 0.5])
def test_while_another_move_works_the_planted_foot_stays_or_both_are_named(
    other: dict[str, Any], start: float
) -> None:
    """It stays within 0.01 mm; two moves that would carry the member along two ways are a mistake."""
    found = exposed(WALK, {"who": "cat", "start": start} | other)
    if found.faults:
        assert other["move"] in found.faults[0].found
        assert "walk" in found.faults[0].found
    else:
        assert slides(found) < FIXED


@pytest.mark.parametrize("mirrored", [False, True])
def test_the_feet_do_not_turn_with_a_body_that_nods(mirrored: bool) -> None:
    cast = {"cat": {"character": "cat", "flip": mirrored}}
    found = exposed(WALK, {"move": "nod", "who": "cat", "by": 15}, cast=cast)
    angles = {round(p.angle, 6) % 360 for row in found.sheet.rows for p in row.placed if p.piece == "left"}
    assert len(angles) == 1
    bodies = {round(p.angle, 6) % 360 for row in found.sheet.rows for p in row.placed if p.piece == "body"}
    assert len(bodies) == 3


def test_after_a_walk_the_feet_are_where_they_walked_to_though_the_body_grew() -> None:
    found = exposed(WALK, {"move": "growth", "who": "cat", "by": 1.5})
    rows = [{p.piece: p.pin for p in row.placed} for row in found.sheet.rows]
    arrived, later = rows[STEPS * EACH - 1], rows[-1]
    assert all(later[foot] == pytest.approx(arrived[foot]) for foot in FEET)


def test_a_walk_that_nothing_disturbs_is_as_the_move_says_to_the_letter() -> None:
    feet = exposed(WALK).sheet.rows[STEPS * EACH - 1].poses["cat"]
    assert [feet[f"{foot}.{c}"] for foot in FEET for c in "xy"] == [0.0] * 4


def test_hands_that_tremble_leave_the_planted_foot_alone() -> None:
    assert slides(exposed(WALK, tremble={"mm": 1, "degrees": 1})) == 0.0


@given(pose=poses(), turned=poses(), x=st.floats(-300, 300), y=st.floats(-300, 300))
def test_what_stands_is_at_its_place_and_turned_as_told(
    pose: dict[str, Value], turned: dict[str, Value], x: float, y: float
) -> None:
    turned["flip"] = pose["flip"]
    channels = standing(WALKER, pose, {"left": (x, y)}, turned_as=turned)
    lies, was = joints(WALKER, pose | channels)["left"].axes, joints(WALKER, turned)["left"].axes
    assert lies.apply(0, 0) == pytest.approx((x, y), abs=1e-6)
    assert abs((lies.angle - was.angle + 180) % 360 - 180) < 1e-6
