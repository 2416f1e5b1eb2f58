"""What is wrong with how pieces hang together is said clearly."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError
from tests.strategies import CUTOUTS, WALKER, WALKER_DOCUMENT

from splitpin.character.character import Character, faults_of
from splitpin.character.figure import assemble
from splitpin.measure.fault import Fault


def character(pieces: dict[str, dict[str, Any]], **keys: Any) -> Character:
    return Character.model_validate(
        {"format": 1, "pieces": {name: {"cutout": "disc"} | piece for name, piece in pieces.items()}} | keys
    )


def only(found: list[Fault]) -> Fault:
    (fault,) = found
    return fault


def test_a_sound_character_has_no_faults() -> None:
    assert faults_of(WALKER_DOCUMENT) == []


def test_there_is_one_root() -> None:
    assert only(faults_of(character({"a": {}, "b": {}}))).expected == "one root piece"


def test_a_piece_hangs_on_a_piece_and_a_pin_that_are_there() -> None:
    assert "no piece 'c'" in only(faults_of(character({"a": {}, "b": {"on": "c.pin"}}))).found
    assert "no pin 'hip'" in only(faults_of(character({"a": {}, "b": {"on": "a.hip"}}))).found
    own = character({"a": {"pins": {"hip": [1, 1]}}, "b": {"on": "a.hip", "pin": "top"}})
    assert only(faults_of(own)).path == ("pieces", "b", "pin")


def test_pieces_in_a_ring_are_a_fault_and_never_an_endless_search() -> None:
    ring = character({"a": {"on": "b.p", "pins": {"p": [0, 0]}}, "b": {"on": "a.p", "pins": {"p": [0, 0]}}})
    assert any("ring" in fault.found for fault in faults_of(ring))
    with pytest.raises(ValueError, match="ring"):
        assemble("ring", ring, CUTOUTS)


def test_the_stacking_order_lists_each_piece_once() -> None:
    assert only(faults_of(character({"a": {}}, order=["a", "a"]))).found == "'a' is listed twice"
    assert only(faults_of(character({"a": {}}, order=["a", "z"]))).found == "'z' is not a piece"
    short = character({"a": {"pins": {"p": [0, 0]}}, "b": {"on": "a.p"}}, order=["a"])
    assert only(faults_of(short)).found == "b left out"


@pytest.mark.parametrize(
    "piece",
    [
        {"cutout": None},
        {"set": {"open": {"cutout": "disc"}}},
        {"cutout": None, "set": {"open": {"cutout": "disc"}}, "shows": "shut"},
        {"limits": [10, -10]},
        {"scale": 0},
        {"colour": "red"},
    ],
)
def test_a_piece_that_contradicts_itself_is_refused(piece: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        character({"a": piece})


def test_the_ladder_has_each_piece_after_its_holder() -> None:
    names = [bone.name for bone in WALKER.ladder]
    for i, bone in enumerate(WALKER.ladder):
        assert bone.holder is None or bone.holder in names[:i]
