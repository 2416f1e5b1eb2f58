"""The reference, asked for by name."""

from __future__ import annotations

from typing import get_args

import pytest

from splitpin.folder.kinds import KINDS
from splitpin.folder.mistake import FolderError
from splitpin.jobs.reference import tell
from splitpin.motion import MOVES


def keys(text: str) -> set[str]:
    return {line.split("`")[1] for line in text.splitlines() if line.startswith("| `")}


def test_every_document_is_told_by_its_name() -> None:
    for kind in KINDS:
        assert set(kind.model.model_fields) <= keys(tell(kind.name))


def test_every_move_is_told_by_its_name_with_where_to_find_what_they_share() -> None:
    for move in MOVES:
        [name] = get_args(move.model_fields["move"].annotation)
        text = tell(name)
        assert text.startswith(f'#### `move = "{name}"`')
        assert text.endswith("splitpin reference moves\n")
    assert {"who", "panel", "after"} <= keys(tell("moves"))


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("panels", "says"),
        ("[[panels]]", "says"),
        ("cast", "rides"),
        ("Cut-out", "width_mm"),
        ("cues", "fade_in"),
    ],
)
def test_a_table_is_told_by_its_name_however_it_is_written(name: str, key: str) -> None:
    assert key in keys(tell(name))


def test_all_of_it_is_told_without_what_only_a_browser_needs() -> None:
    text = tell()
    assert "<" not in text.replace("<=", "")
    assert "](" not in text


def test_a_name_that_is_nearly_right_is_helped() -> None:
    with pytest.raises(FolderError) as e:
        tell("slied")
    assert "slide" in e.value.remedy
