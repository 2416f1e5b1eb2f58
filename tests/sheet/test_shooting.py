"""What hands do, set-ups, their order, and the hours they take."""

from __future__ import annotations

from itertools import pairwise, permutations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.tinyfilm import write_tiny

from splitpin.jobs.hours import hours
from splitpin.jobs.new import new
from splitpin.jobs.ready import ready
from splitpin.measure.table import View
from splitpin.sheet.shooting.actions import actions
from splitpin.sheet.shooting.hours import Pace, pace_of, work_left
from splitpin.sheet.shooting.order import Changes, cost, shooting_order
from splitpin.sheet.shooting.setups import SetUp, setups


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("shooting") / "exact-change"
    new(root, example=True)
    return root


def setup(n: int, background: str, width: float, paper: str, pieces: str, spoilt: str) -> SetUp:
    return SetUp(
        f"{n:03d}", 0, background, paper, View(0, 0, width, 0), (), (), frozenset(pieces), frozenset(spoilt)
    )


some = st.builds(
    setup,
    st.integers(0, 999),
    st.sampled_from("ab"),
    st.sampled_from([400.0, 200.0]),
    st.sampled_from(["#ffffff", "#000000"]),
    st.text("pqr", max_size=3),
    st.text("pqr", max_size=1),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(some, max_size=6))
def test_the_order_costs_as_little_as_any(story: list[SetUp]) -> None:
    costs = Changes()
    found = shooting_order(story, costs)
    assert sorted(map(id, found)) == sorted(map(id, story))
    least = min(cost(order, costs) for order in permutations(story))
    assert cost(found, costs) == pytest.approx(least)


def least_of_all(story: list[SetUp], costs: Changes) -> float:
    """Of every order there is; those that cost too much from their beginning are not gone on with."""
    least = cost(story, costs)

    def go_on(order: list[SetUp], left: list[SetUp]) -> None:
        nonlocal least
        total = cost(order, costs)
        if total > least:
            return
        if not left:
            least = total
        for n, one in enumerate(left):
            go_on([*order, one], left[:n] + left[n + 1 :])

    go_on([], story)
    return least


def test_nine_set_ups_are_put_into_the_best_order_there_is() -> None:
    random = np.random.default_rng(5)
    costs = Changes()
    story = [
        setup(n, "ab"[n % 2], float(random.choice([400, 200])), "#ffffff", "pq"[n % 2], "p" if n == 2 else "")
        for n in range(9)
    ]
    assert cost(shooting_order(story, costs), costs) == pytest.approx(least_of_all(story, costs))


@settings(max_examples=15, deadline=None)
@given(st.lists(some, min_size=12, max_size=24))
def test_many_set_ups_never_cost_more_than_in_the_order_of_the_story(story: list[SetUp]) -> None:
    costs = Changes()
    found = shooting_order(story, costs)
    assert sorted(map(id, found)) == sorted(map(id, story))
    assert cost(found, costs) <= cost(story, costs) + 1e-9


def test_what_destroys_paper_that_others_need_comes_after_them() -> None:
    story = [setup(0, "a", 400, "#ffffff", "p", "p"), setup(1, "a", 400, "#ffffff", "p", ""),
             setup(2, "a", 400, "#ffffff", "q", "")]  # fmt: skip
    assert shooting_order(story, Changes())[-1] is story[0]


def test_set_ups_share_out_the_exposures_of_a_film(example: Path) -> None:
    film = ready(example)
    found = setups([(film.folder.scenes[s.scene], s) for s in film.sheets])
    for sheet in film.sheets:
        rows = [row for one in found if one.scene == sheet.scene for row in one.rows]
        assert [row.frame for row in rows] == [row.frame for row in sheet.rows]
    for one in found:
        assert len({row.view for row in one.rows}) == 1 or one.view is None


def test_each_piece_that_lies_otherwise_is_in_one_action_and_no_other(example: Path) -> None:
    for sheet in ready(example).sheets:
        for before, now in pairwise(sheet.rows):
            done = actions(before, now)
            was = {(p.who, p.piece): p for p in before.placed}
            is_ = {(p.who, p.piece): p for p in now.placed}
            touched = [(a.who, piece) for a in done for piece in a.pieces]
            assert len(touched) == len(set(touched))
            for key in was.keys() | is_.keys():
                a, b = was.get(key), is_.get(key)
                same = a is not None and b is not None and (a.cutout == b.cutout) and max(
                    abs(x - y) for x, y in zip(a.matrix, b.matrix, strict=True)
                ) < 1e-6  # fmt: skip
                assert (key in touched) is not same, (sheet.scene, now.frame, key)
            for action in done:
                if action.kind == "moved":
                    for piece in action.pieces:
                        at = was[action.who, piece].pin
                        assert action.by.apply(*at) == pytest.approx(is_[action.who, piece].pin, abs=0.02)


def test_a_persons_pace_is_found_from_their_takes_breaks_and_all() -> None:
    random = np.random.default_rng(2)
    counts = random.integers(0, 6, 200)
    seconds = 33 + 14 * counts + random.normal(0, 4, 200)
    seconds[::25] += 40.0  # somebody rang
    seconds[7] = 3600.0  # lunch
    pace = pace_of(list(zip(seconds.tolist(), counts.tolist(), strict=True)))
    assert pace.takes >= 190
    assert pace.exposure == pytest.approx(33, abs=2)
    assert pace.action == pytest.approx(14, abs=1)


def test_few_takes_say_nothing_and_takes_alike_keep_the_usual_proportion() -> None:
    assert pace_of([(60.0, 1)] * 19) == Pace()
    pace = pace_of([(30.0, 1)] * 40)
    assert pace.exposure + pace.action == pytest.approx(30.0)
    assert pace.exposure / pace.action == pytest.approx(2.0)


def test_a_position_takes_one_to_two_minutes_as_is_usual(example: Path) -> None:
    # common practice, no source: one to two minutes a position
    found = hours(example)
    exposures = sum(one.exposures for one in found.work)
    assert 60 <= found.seconds / exposures <= 120
    assert found.changes <= found.story
    for one in found.cheaper:
        assert 0 < one.saves < found.seconds


def test_what_is_shot_is_not_counted_again_and_takes_tell_the_pace(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    film = ready(root)
    found = setups([(film.folder.scenes[s.scene], s) for s in film.sheets])
    whole = work_left(found, {}, Pace())
    first = film.sheets[0]
    shot = {first.scene: {row.frame for row in first.rows}}
    left = work_left(found, shot, Pace())
    assert sum(w.exposures for w in left) == sum(w.exposures for w in whole) - len(first.rows)
    assert [w.seconds for w in left if w.setup.scene == first.scene] == [0.0]
