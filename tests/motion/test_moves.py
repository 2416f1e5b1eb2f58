"""Laws that every move keeps."""

from __future__ import annotations

from math import isfinite
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError
from tests.motion.samples import MEMBER_MOVES, VIEW_MOVES, read, run, run_view
from tests.strategies import VIEW_CHANNELS, WALKER, WALKER_DOCUMENT, befores, spans

from splitpin.character.place import place
from splitpin.character.pose import MULTIPLIED, REST, Value, channels_of
from splitpin.motion import MOVES, AnyMove
from splitpin.motion.move import Before, Motion, MoveError, Span

member_moves = st.sampled_from(MEMBER_MOVES)
view_moves = st.sampled_from(VIEW_MOVES)
KNOWN = channels_of(WALKER_DOCUMENT)


def check(motion: Motion, span: Span, known: dict[str, Value]) -> None:
    """What everyone who reads a motion relies on."""
    n = span.exposures
    assert not set(motion.travel) & set(motion.disturb)
    for channel, values in motion.travel.items():
        assert len(values) == n
        assert {type(value) for value in values} == {type(known[channel])}
        assert all(isfinite(value) for value in values if isinstance(value, float))
    for channel, amounts in motion.disturb.items():
        assert len(amounts) == n
        assert all(type(amount) is float and isfinite(amount) for amount in amounts)
        assert isinstance(known[channel], float)
        assert amounts[-1] == (1.0 if channel.split(".")[-1] in MULTIPLIED else 0.0)
    for piece, places in motion.stand.items():
        assert len(places) == n
        assert {f"{piece}.x", f"{piece}.y"} <= set(motion.travel)
    assert all(type(k) is int and 0 <= k < n for _, k in motion.events)
    assert [k for _, k in motion.events] == sorted(k for _, k in motion.events)
    assert motion.events[0] == ("start", 0)
    assert motion.events[-1] == ("end", n - 1)


@given(document=member_moves, span=spans(), before=befores(), seed=st.integers(0, 2**40))
def test_moves_of_members_give_one_plain_value_an_exposure_and_disturbances_end_at_nothing(
    document: dict[str, Any], span: Span, before: Before, seed: int
) -> None:
    motion = read(document).motion(span, before, seed)
    check(motion, span, KNOWN)
    place(WALKER, dict(before.pose) | {channel: values[-1] for channel, values in motion.travel.items()})


@given(document=view_moves, span=spans(), seed=st.integers(0, 2**40))
def test_moves_of_the_view_keep_the_same_laws(document: dict[str, Any], span: Span, seed: int) -> None:
    check(read(document, "view").motion(span, Before(VIEW_CHANNELS, None), seed), span, VIEW_CHANNELS)


@given(document=member_moves, span=spans(), before=befores(), seed=st.integers(0, 2**40))
def test_the_same_move_gives_the_same_values(
    document: dict[str, Any], span: Span, before: Before, seed: int
) -> None:
    move = read(document)
    assert move.motion(span, before, seed) == move.motion(span, before, seed)


@pytest.mark.parametrize("kind", MOVES, ids=lambda kind: kind.__name__)
def test_every_kind_says_what_it_is(kind: Any) -> None:
    (word,) = get_args(kind.model_fields["move"].annotation)
    assert kind.__module__ == f"splitpin.motion.{word}"
    assert kind.summary.endswith(".")
    assert kind.usual is None or kind.usual > 0
    assert all(field.description for field in kind.model_fields.values())
    documents = [d for d in MEMBER_MOVES + VIEW_MOVES if d["move"] == word]
    assert documents, "a kind of move without a sample is not tested"
    assert all((takes := read(d).takes) is None or takes > 0 for d in documents)


def test_the_list_of_moves_and_the_union_name_the_same() -> None:
    union, _ = get_args(AnyMove)
    assert set(get_args(union)) == set(MOVES)


@pytest.mark.parametrize("document", MEMBER_MOVES, ids=str)
def test_a_move_reads_back_from_what_it_writes(document: dict[str, Any]) -> None:
    move = read(document)
    assert read(move.model_dump(exclude_unset=True)) == move


@pytest.mark.parametrize("kind", [k for k in MOVES if k.works_on == "view"], ids=lambda kind: kind.__name__)
def test_a_move_of_the_view_is_refused_for_a_member(kind: Any) -> None:
    document = next(d for d in VIEW_MOVES if d["move"] == get_args(kind.model_fields["move"].annotation)[0])
    with pytest.raises(MoveError) as caught:
        run(document, 4)
    assert caught.value.key == "who"
    assert "view" in caught.value.expected


@pytest.mark.parametrize(
    "document",
    [d for d in MEMBER_MOVES if d["move"] not in {v["move"] for v in VIEW_MOVES}],
    ids=str,
)
def test_a_move_of_a_member_is_refused_for_the_view(document: dict[str, Any]) -> None:
    with pytest.raises(MoveError) as caught:
        run_view(document, 4)
    assert caught.value.key in ("who", "piece", "pieces", "feet", "legs")


@pytest.mark.parametrize(
    ("document", "key", "remedy"),
    [
        ({"move": "slide"}, "to", "say where it goes"),
        ({"move": "slide", "to": [1, 1], "by": [1, 1]}, "by", "leave one of them out"),
        ({"move": "slide", "to": [1, 1], "arc": 3, "through": [[1, 2]]}, "through", "leave all but one out"),
        ({"move": "slide", "to": [1, 1], "piece": "lefft"}, "piece", "did you mean left?"),
        ({"move": "hop", "to": [1, 1], "by": [1, 1]}, "by", "leave one of them out"),
        ({"move": "bend", "piece": "hed", "by": 3}, "piece", "did you mean head?"),
        ({"move": "bend", "piece": "head"}, "to", "say how far it turns"),
        ({"move": "bend", "by": 1, "to": 1}, "by", "leave one of them out"),
        ({"move": "bend", "piece": "head", "to": 41}, "to", "turn it less, or widen its limits"),
        ({"move": "bend", "piece": "head", "by": -41}, "by", "turn it less, or widen its limits"),
        ({"move": "nod", "piece": "head", "by": 60}, "by", "turn it less, or widen its limits"),
        ({"move": "snap", "piece": "head", "turn_by": 39}, "turn_by", "turn it less, or widen its limits"),
        ({"move": "snap", "turn_by": 39, "turn_to": 1}, "turn_by", "leave one of them out"),
        ({"move": "snap"}, "to", "say where it goes"),
        ({"move": "swap", "piece": "head", "shows": "corss"}, "shows", "did you mean cross?"),
        ({"move": "swap", "piece": "jaw", "shows": "open"}, "shows", "give 'jaw' a set"),
        ({"move": "blink", "piece": "head", "shows": "shut"}, "shows", "use one of"),
        ({"move": "jaw", "piece": "chin"}, "piece", "use one of"),
        ({"move": "speak", "sound": "a.wav", "piece": "chin"}, "piece", "use one of"),
        ({"move": "speak", "sound": "a.wav", "drop": 3, "turn": 3}, "turn", "leave one of them out"),
        ({"move": "speak", "sound": "a.wav", "shows": {"open": "cross"}}, "shows", "leave `shows` out"),
        ({"move": "speak", "sound": "a.wav", "piece": "head"}, "shows", 'open = "cross"'),
        ({"move": "speak", "sound": "a.wav", "piece": "head", "shows": {"open": "corss"}}, "shows", "cross?"),
        ({"move": "walk", "by": [9, 0], "feet": ["left", "left"]}, "feet", "name the loose pieces"),
        ({"move": "walk", "by": [9, 0], "feet": ["left", "body"]}, "feet", "name the loose pieces"),
        ({"move": "walk", "by": [9, 0], "feet": ["left", "rihgt"]}, "feet", "did you mean right?"),
        ({"move": "walk", "by": [9, 0], "feet": ["head", "jaw"]}, "feet", "name the loose pieces"),
        ({"move": "scuttle", "by": [9, 0], "legs": ["left", "rigth"]}, "legs", "did you mean right?"),
        ({"move": "growth"}, "to", "say how large it becomes"),
        ({"move": "growth", "to": 1, "by": 2}, "by", "leave all but one out"),
        ({"move": "peel", "pieces": ["jaw", "jaw"]}, "pieces", "name it once"),
        ({"move": "peel", "cover": True, "pull": [1, 1]}, "pull", "leave one of them out"),
        ({"move": "flutter", "pieces": ["jow"]}, "pieces", "did you mean jaw?"),
        ({"move": "posed", "values": [{}, {"head": {"angel": 3}}]}, "values", "did you mean head.angle?"),
        ({"move": "posed", "values": [{"flip": 3}]}, "values", "write true or false"),
    ],
    ids=str,
)
def test_what_cannot_be_done_is_said_with_its_key_and_a_remedy(
    document: dict[str, Any], key: str, remedy: str
) -> None:
    with pytest.raises(MoveError) as caught:
        run(document, 8)
    assert caught.value.key == key
    assert caught.value.key in type(read(document)).model_fields
    assert remedy in caught.value.remedy
    assert caught.value.found
    assert caught.value.expected


def test_a_track_is_told_how_near_it_comes_once() -> None:
    for document in ({"move": "track"}, {"move": "track", "nearer": 2, "width_mm": 3}):
        with pytest.raises(MoveError, match="one of the two"):
            run_view(document, 3)


@pytest.mark.parametrize(
    "document",
    [
        {"move": "slied", "to": [1, 1]},
        {"to": [1, 1]},
        {"move": "slide", "to": [1, 1], "speed": 3},
        {"move": "slide", "to": [1]},
        {"move": "slide", "to": [1, "2"]},
        {"move": "slide", "to": [1, float("nan")]},
        {"move": "slide", "to": [1, 1], "ease": "bouncy"},
        {"move": "slide", "to": [1, 1], "ease": [2, 0, 0, 0]},
        {"move": "slide", "to": [1, 1], "positions": 0},
        {"move": "slide", "to": [1, 1], "curve": []},
        {"move": "walk", "by": [1, 1], "feet": ["left"]},
        {"move": "bounce", "again": 0},
        {"move": "posed", "values": []},
    ],
    ids=str,
)
def test_a_move_that_makes_no_sense_is_refused_when_it_is_read(document: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        read(document)


def test_what_was_not_said_starts_from_rest() -> None:
    assert run({"move": "slide", "by": [10, 0]}, 3).travel["x"][-1] == REST["x"] + 10  # type: ignore[operator]
