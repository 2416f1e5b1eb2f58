"""The vocabulary of moves tells what their own definitions tell, and shows each in a little scene."""

from __future__ import annotations

import pytest

from splitpin.folder.mistake import FolderError
from splitpin.jobs.said import read_said
from splitpin.jobs.sample_moves import SHAPES, samples
from splitpin.jobs.vocabulary import vocabulary
from splitpin.motion import MOVES


def test_every_key_of_every_move_is_asked_for() -> None:
    told = vocabulary()
    assert len(told) == len(MOVES)
    for kind, move in zip(told, MOVES, strict=True):
        assert {key.key for key in kind.keys} == set(move.model_fields) - {"move", "who"}
        assert all(key.meaning for key in kind.keys), kind.move
        assert {key.key for key in kind.keys if key.needed} == {
            name for name, field in move.model_fields.items() if field.is_required()
        } - {"move", "who"}


def test_shapes_are_those_of_the_values() -> None:
    keys = {(kind.move, key.key): key for kind in vocabulary() for key in kind.keys}
    shapes = {
        ("slide", "to"): "spot",
        ("slide", "through"): "spots",
        ("slide", "ease"): "ease",
        ("bend", "to"): "number",
        ("hop", "times"): "whole",
        ("nod", "both"): "flag",
        ("reach", "bend"): "choice",
        ("walk", "feet"): "names",
        ("jaw", "openings"): "numbers",
        ("posed", "values"): "table",
        ("speak", "sound"): "text",
    }
    assert {place: keys[place].shape for place in shapes} == shapes
    assert keys["reach", "bend"].choices == ("anticlockwise", "clockwise")


@pytest.mark.parametrize("word", [kind.move for kind in vocabulary()])
def test_each_move_is_seen_to_move(word: str) -> None:
    sheet = samples()[word]
    assert {piece.cutout for row in sheet.rows for piece in row.placed} <= set(SHAPES)
    different = {(row.placed, row.view) for row in sheet.rows}
    assert len(different) > 1 or word == "hold"


def test_keys_are_read_as_toml_has_them() -> None:
    assert read_said("--set", 'x = 1, head.angle = 5, mouth.shows = "open"') == {
        "x": 1,
        "head": {"angle": 5},
        "mouth": {"shows": "open"},
    }
    for wrong in ("x = ", "x: 1", "}\nx = 1 #", "x = 1 }, y = { z = 2"):
        with pytest.raises(FolderError, match="--set"):
            read_said("--set", wrong)
