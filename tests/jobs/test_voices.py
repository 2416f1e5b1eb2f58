"""Mouths in a film folder: heard once, kept, and looked through."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from tests.jobs.test_read import spoken
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.device import soundfile_reader
from splitpin.folder.mistake import Mistake
from splitpin.jobs import check as checking
from splitpin.jobs.ready import ready
from splitpin.sheet.sheet import Sheet

MOVE = '\n[[moves]]\nmove = "speak"\nwho = "cat"\nsound = "line.wav"\n'
CUE = '\n[[cues]]\nsound = "line.wav"\nkind = "voice"\n'


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    """A film with a voice that nobody uses yet."""
    write_tiny(tmp_path / "tiny")
    spoken(tmp_path / "tiny/sounds/line.wav")
    return tmp_path / "tiny"


def add(tiny: Path, *tables: str) -> Path:
    """Add tables to the first scene, in which the cat speaks and there is time for it."""
    file = tiny / "scenes/010-hill.toml"
    text = file.read_text(encoding="utf-8").replace("frames = 6\n", 'frames = 60\nspeaker = "cat"\n', 1)
    file.write_text(text + "".join(tables), encoding="utf-8")
    return tiny


def warnings(tiny: Path) -> list[Mistake]:
    """What a check tells of the scene."""
    found = checking.check(tiny)
    assert found.mistakes == ()
    return [w for w in found.warnings if "line.wav" in w.found]


def open_frames(sheet: Sheet) -> list[int]:
    """The frames on which the cat's mouth is open."""
    rows = [r for r in sheet.rows if r.poses["cat"]["mouth.shows"] == "open"]
    return [frame for row in rows for frame in range(row.frame, row.frame + row.frames)]


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The sounds that are decoded, one entry each time."""
    heard: list[str] = []
    plain = soundfile_reader.read_blocks

    def counted(path: Path, where: str = "") -> Any:
        heard.append(where)
        return plain(path, where)

    for module in ("splitpin.jobs.read", "splitpin.jobs.hearing", "splitpin.jobs.captions"):
        monkeypatch.setattr(f"{module}.read_blocks", counted)
    return heard


def test_a_mouth_of_a_film_opens_while_its_sound_is_heard(tiny: Path) -> None:
    opened = open_frames(ready(add(tiny, MOVE, CUE)).sheets[0])
    assert set(range(14, 22)) <= set(opened) <= set(range(10, 26))


def test_a_voice_is_heard_once_and_kept_under_its_fingerprint(tiny: Path, reads: list[str]) -> None:
    add(tiny, MOVE, CUE)
    first = ready(tiny)
    assert reads == ["sounds/line.wav"]
    assert [p.name for p in (tiny / "made/voices").iterdir()] == list(first.heard.files)
    assert ready(tiny).sheets == first.sheets
    assert reads == ["sounds/line.wav"]
    (kept,) = (tiny / "made/voices").iterdir()
    kept.write_bytes(b"PK broken")
    assert ready(tiny).sheets == first.sheets
    assert reads == ["sounds/line.wav"] * 2


def test_a_check_decodes_no_sound_twice_and_keeps_nothing(tiny: Path, reads: list[str]) -> None:
    add(tiny, MOVE, CUE)
    assert warnings(tiny) == []
    assert sorted(reads) == ["sounds/hum.wav", "sounds/line.wav", "sounds/tick.wav"]
    assert not (tiny / "made").exists()


def test_the_line_of_a_panel_is_what_its_one_voice_says_unless_the_document_says_it(
    tiny: Path, reads: list[str]
) -> None:
    add(tiny, MOVE, CUE + 'panel = "goes"\n')
    assert checking.check(tiny).mistakes == ()
    assert sorted(reads) == ["sounds/hum.wav", "sounds/line.wav", "sounds/tick.wav"]
    assert [word.text for word in ready(tiny).heard.voices["line.wav"].words] == ["Mrow?"]
    (tiny / "sounds/line.toml").write_text('format = 1\nwords = "other words"\n', encoding="utf-8")
    assert [word.text for word in ready(tiny).heard.voices["line.wav"].words] == ["other", "words"]
    add(tiny, CUE + 'panel = "goes"\n')
    (tiny / "sounds/line.toml").unlink()
    assert ready(tiny).heard.voices["line.wav"].words == ()


def test_a_voice_whose_speaker_keeps_the_mouth_still_is_told_on_the_line_of_its_cue(tiny: Path) -> None:
    (warning,) = warnings(add(tiny, CUE))
    text = (tiny / "scenes/010-hill.toml").read_text(encoding="utf-8").split("\n")
    assert warning.line is not None
    assert text[warning.line - 1] == 'sound = "line.wav"'
    assert warning.found == "cat says line.wav in waits, and its mouth does not move"
    assert 'move = "speak"' in warning.remedy


def test_a_mouth_without_a_voice_is_told_on_the_line_of_its_move(tiny: Path) -> None:
    (warning,) = warnings(add(tiny, MOVE))
    text = (tiny / "scenes/010-hill.toml").read_text(encoding="utf-8").split("\n")
    assert warning.line is not None
    assert text[warning.line - 1] == 'sound = "line.wav"'
    assert warning.found == "cat speaks line.wav, and nothing plays it here"
    assert 'kind = "voice"' in warning.remedy


def test_a_sound_that_is_not_there_is_told_where_the_mouth_names_it_and_the_mouth_stays_shut(
    tiny: Path,
) -> None:
    (tiny / "sounds/line.wav").unlink()
    found = checking.check(add(tiny, MOVE, CUE))
    assert found.mistakes == ()
    lines = {w.line for w in found.warnings if "there is no line.wav" in w.found}
    assert len(lines) == 2
    film = ready(tiny)
    assert open_frames(film.sheets[0]) == []


def test_a_sound_that_cannot_be_heard_is_one_mistake(tiny: Path) -> None:
    (tiny / "sounds/line.wav").write_bytes((tiny / "sounds/line.wav").read_bytes()[:-999])
    found = checking.check(add(tiny, MOVE, CUE))
    assert [m.file for m in found.mistakes] == ["sounds/line.wav"]


def test_the_sheet_tells_dialogue_and_mouths_to_people_and_programs(tiny: Path) -> None:
    (tiny / "sounds/line.toml").write_text('format = 1\nwords = "moo"\n', encoding="utf-8")
    add(tiny, MOVE, CUE)
    run = CliRunner().invoke
    data = json.loads(run(build(), ["sheet", str(tiny), "010-hill", "--json"]).stdout)
    said = [(s["who"], s["word"]) for row in data["rows"] for s in row["says"] if s["word"] not in ("", "–")]
    assert said == [("cat", "moo")]
    assert {s["shape"] for row in data["rows"] for s in row["says"]} >= {"shut"}
    assert "cat: moo [" in run(build(), ["sheet", str(tiny), "010-hill"]).stdout.replace("\n", " ")
    table = tiny / "t.csv"
    assert run(build(), ["sheet", str(tiny), "010-hill", "--csv", str(table)]).exit_code == 0
    assert "cat: moo [" in table.read_text(encoding="utf-8")
    taken = json.loads(run(build(), ["sheet", str(tiny), "010-hill", "--in", str(table), "--json"]).stdout)
    assert taken["touches"] == 0
