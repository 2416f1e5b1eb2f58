"""Pieces laid in the place of others, shown, hidden, pulled away."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.motion.samples import read, run
from tests.strategies import WALKER_DOCUMENT

from splitpin.character.pose import channels_of
from splitpin.motion.move import Motion


def at(motion: Motion, event: str) -> list[int]:
    return [k for name, k in motion.events if name == event]


REST = channels_of(WALKER_DOCUMENT)


@given(count=st.integers(1, 40))
def test_one_replacement_shows_from_here_on(count: int) -> None:
    motion = run({"move": "swap", "piece": "head", "shows": "cross"}, count, REST)
    assert motion.travel["head.shows"] == ("cross",) * count
    assert at(motion, "swap") == [0]


def test_a_list_shares_the_time_out_and_may_go_back() -> None:
    document = {"move": "swap", "piece": "head", "shows": ["cross", "plain"]}
    assert run(document, 4, REST).travel["head.shows"] == ("cross", "cross", "plain", "plain")
    back = run(document | {"shows": ["cross"], "back": True}, 3, REST)
    assert back.travel["head.shows"] == ("cross", "cross", "plain")
    assert at(back, "swap") == [0, 2]
    assert read(document).takes == 2


def test_with_each_a_list_goes_over_and_over() -> None:
    motion = run({"move": "swap", "piece": "head", "shows": ["cross", "plain"], "each": 1}, 5, REST)
    assert motion.travel["head.shows"] == ("cross", "plain", "cross", "plain", "cross")
    assert at(motion, "swap") == [0, 1, 2, 3, 4]


def test_what_shows_already_is_no_swap() -> None:
    assert at(run({"move": "swap", "piece": "head", "shows": "plain"}, 2, REST), "swap") == []


@given(names=st.lists(st.sampled_from(["cross", "plain"]), min_size=1, max_size=9), count=st.integers(1, 20))
def test_a_list_always_ends_with_its_last(names: list[str], count: int) -> None:
    motion = run({"move": "swap", "piece": "head", "shows": names}, count, REST)
    assert motion.travel["head.shows"][-1] == names[-1]


def test_the_usual_blink_shuts_the_eyes_for_four_frames_on_twos() -> None:
    """Lids for four frames (Wood, as the trade's notes cite it)."""
    move = read({"move": "blink"})
    assert move.takes == 3
    motion = run({"move": "blink"}, 3, REST | {"lids.hidden": True})
    assert motion.travel["lids.hidden"] == (False, False, True)
    assert motion.events == (("start", 0), ("shut", 0), ("open", 2), ("end", 2))
    eyes = run({"move": "blink", "piece": "head", "shows": "cross"}, 3, {})
    assert eyes.travel["head.shows"] == ("cross", "cross", "plain")


@given(count=st.integers(2, 80), times=st.integers(1, 9))
def test_a_jaw_opens_so_often_and_shuts(count: int, times: int) -> None:
    motion = run({"move": "jaw", "times": times, "drop": 6}, count)
    values = motion.disturb["jaw.y"]
    opens = at(motion, "open")
    assert len(opens) == min(times, count // 2)
    assert all(values[k] == -6 for k in opens)
    assert all(-6 <= value <= 0 for value in values)
    assert values[-1] == 0


def test_openings_by_hand_are_one_a_position_and_then_it_is_shut() -> None:
    document = {"move": "jaw", "openings": [2, 5, 0, 4]}
    assert read(document).takes == 5
    motion = run(document, 5)
    assert motion.disturb["jaw.y"] == (-2, -5, 0, -4, 0)
    assert at(motion, "open") == [0, 3]
    assert run(document, 2).disturb["jaw.y"] == (-2, 0)


@given(count=st.integers(1, 40), each=st.integers(1, 5))
def test_legs_take_turns_while_it_travels(count: int, each: int) -> None:
    motion = run({"move": "scuttle", "by": [40, 0], "legs": ["left", "right"], "each": each}, count)
    left, right = motion.travel["left.hidden"], motion.travel["right.hidden"]
    assert all(a != b for a, b in zip(left, right, strict=True))
    assert left[0] is True
    assert at(motion, "step") == list(range(0, count, each))
    assert motion.travel["x"][-1] == 40


def test_covers_are_peeled_from_the_top_one_a_position() -> None:
    motion = run({"move": "peel"}, 6)
    assert list(motion.travel) == [f"{name}.hidden" for name in reversed(WALKER_DOCUMENT.order)]
    assert [values.index(True) for values in motion.travel.values()] == list(range(6))
    assert at(motion, "scrap") == list(range(6))
    assert all(values[-1] is True for values in motion.travel.values())


def test_covers_may_be_laid_on_or_pulled_away() -> None:
    laid = run({"move": "peel", "pieces": ["jaw", "lids"], "cover": True}, 2)
    assert laid.travel == {"jaw.hidden": (False, False), "lids.hidden": (True, False)}
    pulled = run({"move": "peel", "pieces": ["jaw", "lids"], "pull": [100, 50]}, 4).travel
    assert (pulled["jaw.x"][1], pulled["jaw.y"][1], pulled["jaw.x"][3]) == (100, 50, 100)
    assert pulled["lids.x"][:2] == (0, 0)
    assert pulled["lids.x"][3] == 100


def test_members_and_pieces_appear_and_leave() -> None:
    assert run({"move": "appear"}, 2).travel == {"hidden": (False, False)}
    assert run({"move": "leave", "piece": "jaw"}, 1).travel == {"jaw.hidden": (True,)}


def test_posed_values_stay_until_the_next_are_given() -> None:
    document = {"move": "posed", "values": [{"x": 5}, {"head": {"angle": 4}}, {"x": 9, "flip": True}]}
    assert read(document).takes == 3
    assert run(document, 5, {"x": 1.0}).travel == {
        "x": (5, 5, 9, 9, 9),
        "head.angle": (0, 4, 4, 4, 4),
        "flip": (False, False, True, True, True),
    }
    assert run(document, 1).travel == {"x": (5,)}


@pytest.mark.parametrize("pieces", [None, ["jaw", "lids"]])
def test_flutter_is_the_same_for_the_same_seed_and_another_for_another(pieces: list[str] | None) -> None:
    document = {"move": "flutter"} | ({"pieces": pieces} if pieces else {})
    assert run(document, 18, seed=5) == run(document, 18, seed=5)
    assert run(document, 18, seed=5) != run(document, 18, seed=6)


@given(count=st.integers(2, 60), seed=st.integers(0, 2**62), mm=st.floats(0.1, 50), degrees=st.floats(1, 180))
def test_scraps_stay_within_their_throw_and_lie_elsewhere_on_each_position(
    count: int, seed: int, mm: float, degrees: float
) -> None:
    motion = run({"move": "flutter", "mm": mm, "degrees": degrees}, count, seed=seed)
    xs, ys, turned = (motion.disturb[c] for c in ("x", "y", "angle"))
    assert all(x * x + y * y <= mm * mm * (1 + 1e-9) for x, y in zip(xs, ys, strict=True))
    assert all(abs(angle) <= degrees for angle in turned)
    assert len(set(xs)) == count
    assert at(motion, "flutter") == list(range(count - 1))
