"""Touches say what was changed by hand, once."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from tests.sheet.test_expose import exposed, slide

from splitpin.character.pose import Value
from splitpin.scene.scene import Touch
from splitpin.sheet.csv import Change
from splitpin.sheet.touches import Retouched, retouch

MOVES: dict[str, Any] = {"moves": [slide()]}
FIRST = Touch(who="cat", panel="two", frame=1, set={"x": 3, "head": {"angle": 5, "shows": "open"}})


def retouched(touches: list[Touch], *changes: Change) -> Retouched:
    plain = [touch.model_dump(exclude_unset=True) for touch in touches]
    return retouch(touches, exposed(**MOVES, touches=plain).sheet, exposed(**MOVES).sheet, changes)


def test_a_change_becomes_a_touch_of_its_panel() -> None:
    done = retouched([], Change(26, "cat", {"x": 4.0, "head.angle": 5.0}))
    assert done == ([Touch(who="cat", panel="two", frame=2, set={"x": 4.0, "head": {"angle": 5.0}})], 1, 0, 0)


def test_an_exposure_that_is_touched_already_keeps_its_one_touch() -> None:
    done = retouched([FIRST], Change(24, "cat", {"x": 4.0}))
    changed = FIRST.model_copy(update={"set": {"head": {"angle": 5, "shows": "open"}, "x": 4.0}})
    assert done == ([changed], 0, 1, 0)


def test_a_value_set_back_to_the_plan_is_touched_no_more() -> None:
    back: dict[str, Value] = {"x": 0.0, "head.angle": 0.0}
    done = retouched([FIRST], Change(24, "cat", back))
    assert [touch.set for touch in done.touches] == [{"head": {"shows": "open"}}]
    assert retouched([FIRST], Change(24, "cat", back | {"head.shows": "shut"})) == ([], 0, 0, 1)


def test_touches_that_are_not_concerned_stay_as_they_are() -> None:
    other = Touch(who="cup", frame=3, set={"x": 1})
    done = retouched([other, FIRST], Change(24, "cat", {"x": 4.0}), Change(0, "cup", {"x": 9.0}))
    assert done.touches[0] is other
    assert len(done.touches) == 3


def test_of_several_touches_on_one_exposure_the_last_is_changed() -> None:
    twice = [Touch(who="cat", frame=0, set={"x": 1}), Touch(who="cat", frame=1, set={"x": 2, "y": 2})]
    done = retouched(twice, Change(0, "cat", {"x": 3.0}))
    assert [touch.set for touch in done.touches] == [{"y": 2, "x": 3.0}]


@given(
    st.lists(
        st.tuples(
            st.integers(0, 17), st.sampled_from(["coin", "cat"]), st.sampled_from("xy"), st.floats(-9, 9)
        ),
        max_size=12,
    )
)
def test_the_touched_scene_shows_what_was_asked_for_and_nothing_piles_up(
    asked: list[tuple[int, str, str, float]],
) -> None:
    touches: list[Touch] = []
    wanted: dict[tuple[int, str, str], float] = {}
    for row, who, channel, value in asked:
        touches = retouched(touches, Change(2 * row, who, {channel: value})).touches
        wanted[2 * row, who, channel] = value
    sheet = exposed(**MOVES, touches=[t.model_dump(exclude_none=True) for t in touches]).sheet
    poses = {row.frame: row.poses for row in sheet.rows}
    assert all(abs(float(poses[f][who][c]) - value) <= 1e-6 for (f, who, c), value in wanted.items())
    assert len(touches) <= len({(f, who) for f, who, _ in wanted})
