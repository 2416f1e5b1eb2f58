"""A hand on single exposures says what it sets, nothing else, and can be lifted again."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.tinyfilm import write_tiny

from splitpin.character.pose import Value
from splitpin.folder.mistake import FolderError
from splitpin.jobs.sheet import sheet_of
from splitpin.jobs.touch import copy_span, let_go, touch
from splitpin.sheet.csv import Change

HILL = "010-hill"


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def values(root: Path, channel: str, who: str = "cat") -> dict[int, Value]:
    return {row.frame: row.poses[who][channel] for row in sheet_of(root, HILL).sheet.rows}


def test_a_touch_holds_for_its_exposure_alone(tiny: Path) -> None:
    before = values(tiny, "head.angle")
    done = touch(tiny, HILL, [Change(4, "cat", {"head.angle": 20.0, "mouth.shows": "shut"})])
    assert done[:3] == (1, 0, 0)
    assert values(tiny, "head.angle") == before | {4: 20.0}
    assert values(tiny, "mouth.shows")[4] == "shut"
    assert touch(tiny, HILL, [Change(4, "cat", {"head.angle": before[4]})])[:3] == (0, 1, 0)
    assert let_go(tiny, HILL, [4])[:3] == (0, 0, 1)
    assert values(tiny, "head.angle") == before


def test_a_span_is_copied_onto_another_and_what_has_no_place_is_told(tiny: Path) -> None:
    touch(tiny, HILL, [Change(0, "cat", {"x": 1.0}), Change(2, "cat", {"x": 2.0})])
    done = copy_span(tiny, HILL, ["cat"], [0, 2], 10)
    assert done.left == 1
    assert values(tiny, "x")[10] == 1.0
    copy_span(tiny, HILL, ["cat"], [0, 2], 4)
    x = values(tiny, "x")
    assert (x[4], x[6]) == (1.0, 2.0)


def test_hands_off_gives_the_scene_back_as_its_moves_say(tiny: Path) -> None:
    text = (tiny / "scenes/010-hill.toml").read_text(encoding="utf-8")
    (tiny / "scenes/010-hill.toml").write_text(text[: text.index("[[touches]]")], encoding="utf-8")
    plan = values(tiny, "x")
    (tiny / "scenes/010-hill.toml").write_text(text, encoding="utf-8")
    assert values(tiny, "x") != plan
    let_go(tiny, HILL, list(plan), ["cat"])
    assert values(tiny, "x") == plan


@pytest.mark.parametrize(
    "change",
    [
        Change(1, "cat", {"x": 0.0}),
        Change(0, "dog", {"x": 0.0}),
        Change(0, "cat", {"tail.angle": 0.0}),
        Change(0, "cat", {"x": "far"}),
        Change(0, "cat", {"mouth.shows": "wide"}),
        Change(0, "view", {"width": -2.0}),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(tiny: Path, change: Change) -> None:
    before = (tiny / "scenes/010-hill.toml").read_bytes()
    with pytest.raises(FolderError):
        touch(tiny, HILL, [Change(0, "cat", {"x": 3.0}), change])
    assert (tiny / "scenes/010-hill.toml").read_bytes() == before
