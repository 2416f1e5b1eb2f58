"""Whatever is done with the cards of a board: what hangs on them happens when it happened before."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.tinyfilm import write_tiny

from splitpin.folder.edit import Edit, apply
from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError
from splitpin.folder.sheets import expose_all
from splitpin.jobs.board import add_panel, join_panel, move_panel, name_panel, remove_panel, split_panel
from splitpin.jobs.ready import RefusedError
from splitpin.sheet.sheet import Sheet

HILL = "010-hill"
MORE = """
[[cues]]
sound = "tick.wav"
panel = "goes"
start = 0.2

[[moves]]
move = "slide"
who = "ball"
by = [4.0, 0.0]
positions = 2
"""


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    root = write_tiny(tmp_path / "tiny")
    file = root / "scenes/010-hill.toml"
    file.write_text(file.read_text(encoding="utf-8") + MORE, encoding="utf-8")
    return root


def sheet(root: Path) -> Sheet:
    folder = load(root)
    exposed = expose_all(folder)
    assert (*folder.mistakes, *exposed.mistakes) == ()
    return exposed.sheets[HILL]


def seen(sheet: Sheet) -> list[object]:
    """All of it but what panels are called."""
    rows = [(row.frame, row.frames, row.placed, row.sounds) for row in sheet.rows]
    return [*rows, *((s.cue.sound, s.at) for s in sheet.soundings), sheet.frames]


@pytest.mark.parametrize(("panel", "frames"), [("waits", 2), ("waits", 4), ("goes", 2), ("goes", 4)])
def test_a_split_changes_nothing_that_is_seen_or_heard_and_joining_takes_it_back(
    tiny: Path, panel: str, frames: int
) -> None:
    before = sheet(tiny)
    second = split_panel(tiny, HILL, panel, frames)
    after = sheet(tiny)
    assert seen(after) == seen(before)
    assert next(p for p in after.panels if p[0] in (panel, second))[2] == frames
    join_panel(tiny, HILL, panel)
    assert seen(sheet(tiny)) == seen(before)
    assert sheet(tiny).panels == before.panels


def test_words_of_joined_cards_are_put_together(tiny: Path) -> None:
    length = sheet(tiny).frames
    join_panel(tiny, HILL, "waits")
    (panel,) = load(tiny).scenes[HILL].panels
    assert (panel.name, panel.action, panel.says, panel.frames) == (
        "waits", "The cat waits.", "Mrow?", length,
    )  # fmt: skip


def test_what_names_no_panel_stays_with_the_first_one_wherever_that_goes(tiny: Path) -> None:
    move_panel(tiny, HILL, "waits", 1)
    moved = sheet(tiny)
    assert [name for name, _, _ in moved.panels] == ["goes", "waits"]
    slide = [row.frame for row in moved.rows if row.poses["ball"]["x"] != moved.rows[0].poses["ball"]["x"]]
    assert slide[0] == 6
    move_panel(tiny, HILL, "waits", 0)
    assert seen(sheet(tiny)) == seen(sheet(write_again(tiny)))


def write_again(root: Path) -> Path:
    """The film as it was at first, elsewhere."""
    other = write_tiny(root.parent / "again")
    file = other / "scenes/010-hill.toml"
    file.write_text(file.read_text(encoding="utf-8") + MORE, encoding="utf-8")
    return other


def test_a_card_goes_to_another_scene_with_its_sounds_unless_somebody_moves_in_it(tiny: Path) -> None:
    with pytest.raises(FolderError, match="moves and touches"):
        move_panel(tiny, HILL, "goes", 0, "020-sea")
    add_panel(tiny, HILL, 2, "quiet")
    cue = {"sound": "tick.wav", "panel": "quiet"}
    apply(tiny, Edit("scenes/010-hill.toml", ("cues", 2), cue, insert=True))
    move_panel(tiny, HILL, "quiet", 5, "020-sea")
    sea = load(tiny).scenes["020-sea"]
    assert [p.name for p in sea.panels] == ["calm", "quiet"]
    assert [(c.sound, c.panel) for c in sea.cues] == [("tick.wav", "quiet")]
    assert len(load(tiny).scenes[HILL].cues) == 2


def test_a_card_stays_while_something_else_hangs_on_what_happens_in_it(tiny: Path) -> None:
    before = (tiny / "scenes/010-hill.toml").read_bytes()
    with pytest.raises(RefusedError, match="pause"):
        remove_panel(tiny, HILL, "waits")
    assert (tiny / "scenes/010-hill.toml").read_bytes() == before


def test_a_card_goes_with_all_that_hangs_on_it(tiny: Path) -> None:
    remove_panel(tiny, HILL, "goes")
    scene = load(tiny).scenes[HILL]
    assert [p.name for p in scene.panels] == ["waits"]
    assert scene.touches == []
    assert [cue.event for cue in scene.cues] == ["pause.end"]
    with pytest.raises(FolderError, match="only card"):
        remove_panel(tiny, HILL, "waits")


def test_a_name_follows_everywhere_and_is_nobody_elses(tiny: Path) -> None:
    before = seen(sheet(tiny))
    name_panel(tiny, HILL, "goes", "runs")
    assert seen(sheet(tiny)) == before
    with pytest.raises(RefusedError, match="two panels"):
        name_panel(tiny, HILL, "runs", "waits")
    with pytest.raises(FolderError):
        name_panel(tiny, HILL, "runs", "../x")
    assert seen(sheet(tiny)) == before
