"""Holds: the board grows by them, what comes after comes so much later, and nothing else changes."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.jobs.test_board import MORE
from tests.tinyfilm import write_tiny

from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError
from splitpin.jobs.board import join_panel, split_panel
from splitpin.jobs.check import check
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.retime import retime
from splitpin.jobs.sheet import sheet_of
from splitpin.jobs.touch import touch
from splitpin.sheet.csv import Change
from splitpin.sheet.sheet import Sheet

HILL = "010-hill"


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_longer(tmp_path / "tiny")


def write_longer(folder: Path) -> Path:
    root = write_tiny(folder)
    file = root / "scenes/010-hill.toml"
    file.write_text(file.read_text(encoding="utf-8") + MORE, encoding="utf-8")
    return root


def sheet(root: Path) -> Sheet:
    return sheet_of(root, HILL).sheet


def test_a_hold_makes_the_board_longer_and_all_that_follows_later(tiny: Path) -> None:
    before = sheet(tiny)
    assert retime(tiny, HILL, {2: 5}) == 3
    after = sheet(tiny)
    assert after.frames == before.frames + 3
    assert [row.placed for row in after.rows] == [row.placed for row in before.rows]
    assert [(r.frame, r.frames) for r in after.rows] == [
        (r.frame + 3 * (r.frame > 2), 5 if r.frame == 2 else r.frames) for r in before.rows
    ]
    assert [s.at for s in after.soundings] == [s.at + 3 * (s.at >= 4) for s in before.soundings]
    assert [e.frame for e in after.events] == [e.frame + 3 * (e.frame >= 4) for e in before.events]
    assert after.panels == (("waits", 0, 9), ("goes", 9, 6))
    assert load(tiny).scenes[HILL].panels[0].frames == 9


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_whatever_is_held_can_be_let_go_and_the_scene_is_as_it_was(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    root = write_longer(tmp_path_factory.mktemp("held") / "tiny")
    before = sheet(root)
    held = data.draw(
        st.dictionaries(st.sampled_from([row.frame for row in before.rows]), st.integers(1, 9), min_size=1)
    )
    longer = retime(root, HILL, held)
    after = sheet(root)
    natural = {row.frame: row.frames for row in before.rows}
    assert longer == sum(n - natural[frame] for frame, n in held.items())
    assert after.frames == before.frames + longer == sum(row.frames for row in after.rows)
    assert [row.frame for row in after.rows] == [
        sum(r.frames for r in after.rows[:n]) for n in range(len(after.rows))
    ]
    assert [row.placed for row in after.rows] == [row.placed for row in before.rows]
    assert check(root).mistakes == ()
    retime(root, HILL, {row.frame: row.frames - row.longer for row in after.rows})
    assert sheet(root) == before


def test_an_exposure_is_taken_out_and_the_next_one_tells_what_it_told(tiny: Path) -> None:
    before = sheet(tiny)
    assert retime(tiny, HILL, {0: 0, 10: 0}) == -4
    after = sheet(tiny)
    assert [row.placed for row in after.rows] == [r.placed for r in before.rows if r.frame not in (0, 10)]
    assert after.rows[0].note == "The cat waits."
    assert after.panels == (("waits", 0, 4), ("goes", 4, 4))
    with pytest.raises(FolderError, match="nothing left"):
        retime(tiny, HILL, {0: 0, 2: 0})


def test_touches_and_cards_go_with_what_is_held(tiny: Path) -> None:
    retime(tiny, HILL, {2: 12})
    touch(tiny, HILL, [Change(14, "cat", {"x": 7.0})])
    held = sheet(tiny)
    assert [row.frame for row in held.rows if row.poses["cat"]["x"] == 7.0] == [14]
    join_panel(tiny, HILL, "waits")
    joined = sheet(tiny)
    assert [row[:4] for row in joined.rows] == [row[:4] for row in held.rows]
    assert [s.at for s in joined.soundings] == [s.at for s in held.soundings]
    with pytest.raises(FolderError, match="held"):
        split_panel(tiny, HILL, "waits", 4)


@pytest.mark.parametrize(("old", "new"), [("frames = 6\n", "frames = 6\nholds = [{frame = 2, longer = 6}]\n"),
    ("frames = 6\n", "frames = 6\nholds = [{frame = 99, longer = 1}]\n"),
    ("frames = 6\n", "frames = 6\nholds = [{frame = 2, longer = -3}]\n")])  # fmt: skip
def test_a_hold_that_cannot_be_is_a_mistake_with_its_place(tiny: Path, old: str, new: str) -> None:
    file = tiny / "scenes/010-hill.toml"
    file.write_text(file.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    (mistake,) = check(tiny).mistakes
    assert mistake.file == "scenes/010-hill.toml"
    assert mistake.line
    with pytest.raises(RefusedError):
        retime(tiny, HILL, {0: 4})


def test_there_must_be_such_an_exposure(tiny: Path) -> None:
    for held in ({1: 4}, {0: -1}):
        with pytest.raises(FolderError):
            retime(tiny, HILL, held)
