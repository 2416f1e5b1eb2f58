"""Captions come from panels, their times from voices where there are any; check tells what is too quick."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import srt
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.device.soundfile_writer import write_wav
from splitpin.folder.mistake import FolderError
from splitpin.jobs.captions import captioned, write_captions
from splitpin.jobs.check import check
from splitpin.jobs.ready import ready

VOICED = """\
format = 1

[[panels]]
name = "asks"
seconds = 4.0
says = "Is this the exact change?"
speaker = "cat"

[[panels]]
name = "tells"
seconds = 3.0
says = "No."

[[cues]]
sound = "voice.wav"
kind = "voice"
panel = "asks"
start = 0.5
"""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = write_tiny(tmp_path / "film")
    (root / "scenes/010-hill.toml").write_text(VOICED)
    film = root / "film.toml"
    film.write_text(film.read_text().split("[captions]")[0])  # the usual thresholds
    sound = np.zeros((2 * 48_000, 2), np.float32)
    t = np.arange(48_000) / 48_000
    sound[24_000:72_000] = 0.3 * np.sin(2 * np.pi * 200 * t)[:, None]
    write_wav(root / "sounds/voice.wav", [sound])
    return root


def test_a_line_is_timed_by_its_voice_else_by_its_panel(root: Path) -> None:
    found = ready(root)
    first, second = captioned(found.folder, found.sheets).captions
    # the voice starts 0.5 s into the file, which starts 0.5 s into the film
    assert abs(first.start - 24) <= 2
    assert first.end >= 48
    assert (second.start, second.end) == (96, 168)


def test_a_silent_recording_leaves_the_panel_its_time(root: Path) -> None:
    write_wav(root / "sounds/voice.wav", [np.zeros((48_000, 2), np.float32)])
    found = ready(root)
    assert captioned(found.folder, found.sheets).captions[0].start == 0


def test_the_file_s_ending_says_its_form(root: Path, tmp_path: Path) -> None:
    _, count = write_captions(root, None, tmp_path / "a.srt")
    assert count == 2
    assert [s.content for s in srt.parse((tmp_path / "a.srt").read_text())] == [
        "Is this the exact change?",
        "No.",
    ]
    assert "<v cat>Is this the exact change?</v>" in write_captions(root, "vtt", None)[0]
    with pytest.raises(FolderError):
        write_captions(root, None, tmp_path / "a.srt")
    with pytest.raises(FolderError):
        write_captions(root, None, tmp_path / "a.txt")


def test_check_tells_the_line_that_is_said_too_quickly(root: Path) -> None:
    scene = root / "scenes/010-hill.toml"
    scene.write_text(VOICED.replace('says = "No."', 'says = "No."\nspeaker = "till"').replace("3.0", "0.5"))
    told = [w for w in check(root).warnings if "captioned" in w.found]
    assert [(w.file, w.line) for w in told] == [("scenes/010-hill.toml", 12)]
    assert told[0].remedy == "give the panel 0.4 s more"


def test_the_command_says_them_or_writes_them(root: Path, tmp_path: Path) -> None:
    said = CliRunner().invoke(build(), ["captions", str(root), "--format", "srt"])
    assert said.exit_code == 0
    assert "00:00:04,000 --> 00:00:07,000\nNo." in said.output
    wrote = CliRunner().invoke(build(), ["captions", str(root), "-o", str(tmp_path / "x.vtt"), "--json"])
    assert '"captions": 2' in wrote.output
    assert (tmp_path / "x.vtt").read_text().startswith("WEBVTT\n\n")
