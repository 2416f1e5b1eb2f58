"""Beats are noted in a sound's papers, and scenes keep to them in everything that is made."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.folder.load import load
from splitpin.folder.sheets import expose_all
from splitpin.jobs.beats import beats_in, note_beats
from splitpin.jobs.check import check
from splitpin.jobs.effect import keep_effect


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    root = write_tiny(tmp_path / "tiny")
    keep_effect("music-bed", {"tempo": "120"}, root, "strut")
    change(root / "film.toml", "[outlets.web]", '[[cues]]\nsound = "strut.wav"\n\n[outlets.web]')
    change(root / "scenes/010-hill.toml", "background", 'snap = "strut.wav"\nbackground')
    return root


def change(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_the_command_finds_the_tempo_and_notes_it_and_keeps_what_else_is_noted(tiny: Path) -> None:
    sound = tiny / "sounds/strut.wav"
    done = CliRunner().invoke(build(), ["beats", str(sound), "--write", "--json"])
    assert done.exit_code == 0, done.output
    told = json.loads(done.output)
    assert told["tempo"] == pytest.approx(120, abs=0.02)
    assert told["document"] == "sounds/strut.toml"
    papers = load(tiny).sounds["strut"]
    assert papers.tempo == told["tempo"]
    assert papers.licence == "CC0-1.0"
    uneven = beats_in(sound)._replace(even=False)
    note_beats(sound, uneven)
    papers = load(tiny).sounds["strut"]
    assert papers.tempo is None
    assert len(papers.beats) == len(uneven.beats)


def test_the_panels_of_the_sheet_end_on_beats_and_a_check_tells_how_far_they_moved(tiny: Path) -> None:
    before = {name: sheet.panels for name, sheet in expose_all(load(tiny)).sheets.items()}
    assert before["010-hill"] == (("waits", 0, 6), ("goes", 6, 6))
    told = [w for w in check(tiny).warnings if "beats" in w.found]
    assert [(w.file, w.remedy) for w in told] == [
        ("scenes/010-hill.toml", "splitpin beats sounds/strut.wav --write")
    ]
    change(tiny / "sounds/strut.toml", "format = 1", "format = 1\ntempo = 150.0\nfirst_beat = 0.05")
    sheets = expose_all(load(tiny)).sheets
    # beats on frames 1.2 and 10.8: the first panel ends on its second one, the next on 20.4
    assert sheets["010-hill"].panels == (("waits", 0, 1), ("goes", 1, 10))
    assert sum(row.frames for row in sheets["010-hill"].rows) == 11
    moved = [w for w in check(tiny).warnings if "on a beat" in w.found]
    assert [w.found for w in moved] == ["it ends 5 frames (0.21 s) earlier than it is written, on a beat"]
    assert moved[0].line is not None


def test_a_sound_without_a_beat_or_outside_of_a_film_is_refused(tiny: Path, tmp_path: Path) -> None:
    done = CliRunner().invoke(build(), ["beats", str(tiny / "sounds/tick.wav")])
    assert done.exit_code == 2
    assert "no beat" in done.output
    outside = tmp_path / "strut.wav"
    outside.write_bytes((tiny / "sounds/strut.wav").read_bytes())
    done = CliRunner().invoke(build(), ["beats", str(outside), "--write"])
    assert done.exit_code == 2
    assert "outside of a film" in done.output
