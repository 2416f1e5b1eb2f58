"""What is made once is shared, and let go when it takes too much room."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import NamedTuple

from hypothesis import given
from hypothesis import strategies as st

from splitpin.frames.kept import Kept


class Thing(NamedTuple):
    room: int


def making(room: int, made: list[int]) -> Callable[[], Thing]:
    def make() -> Thing:
        made.append(room)
        return Thing(room)

    return make


@given(asked=st.lists(st.integers(1, 9), max_size=40), limit=st.integers(0, 30))
def test_what_was_asked_for_last_stays_as_far_as_there_is_room(asked: list[int], limit: int) -> None:
    """By the plain rule, kept in a list: the newest last, the oldest out while they are too many."""
    kept, made = Kept(limit), list[int]()
    rule: list[int] = []
    expected = 0
    for size in asked:
        expected += size not in rule
        rule = [s for s in rule if s != size] + [size]
        while sum(rule) > limit and len(rule) > 1:
            rule.pop(0)
        assert kept.get(size, making(size, made)) == Thing(size)
        assert kept.room == sum(rule)
        assert len(made) == expected


def test_many_who_ask_at_once_make_it_once() -> None:
    kept, made = Kept(100), list[int]()
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda _: kept.get("one", making(5, made)), range(200)))
    assert made == [5]
    assert all(thing is found[0] for thing in found)
