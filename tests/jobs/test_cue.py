"""Sounds are hung on scenes and taken down."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.bench.test_desk import files
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.folder.edit import Edit
from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError
from splitpin.jobs.check import check
from splitpin.jobs.cue import hang, take_down
from splitpin.jobs.staging import stage
from splitpin.jobs.together import together
from splitpin.sound.source import SoundError


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


@pytest.mark.parametrize("frame", [0, 1, 5, 6, 7, 11])
def test_a_sound_starts_at_the_frame_it_is_hung_at(root: Path, frame: int) -> None:
    done = hang(root, "010-hill", "hum.wav", frame, gain=-3)
    staged = stage(root, "010-hill")
    sounding = next(s for s in staged.sheet.soundings if s.cue == staged.scene.cues[done.cue])
    assert round(float(sounding.at), 3) == frame
    assert not done.made
    assert check(root).mistakes == ()


def test_it_starts_there_too_where_an_exposure_before_it_is_held(root: Path) -> None:
    held = [{"frame": 2, "longer": 3}]
    seconds = load(root).scenes["010-hill"].panels[0]
    assert seconds.frames == 6
    together(root, [
        Edit("scenes/010-hill.toml", ("panels", 0, "holds"), held),
        Edit("scenes/010-hill.toml", ("panels", 0, "frames"), 9),
    ])  # fmt: skip
    done = hang(root, "010-hill", "hum.wav", 10)
    staged = stage(root, "010-hill")
    sounding = next(s for s in staged.sheet.soundings if s.cue == staged.scene.cues[done.cue])
    assert round(float(sounding.at), 3) == 10


def test_an_effect_of_the_kit_is_made_once_with_its_papers(root: Path) -> None:
    done = hang(root, "010-hill", "thud", 3)
    assert done.made
    assert (root / "sounds" / done.sound).is_file()
    assert hang(root, "020-sea", "thud").made is False
    assert load(root).scenes["020-sea"].cues[-1].sound == done.sound
    assert check(root).mistakes == ()


def test_what_cannot_be_hung_is_refused_and_nothing_is_left(root: Path) -> None:
    before = files(root)
    for wrong in ({"sound": "nosuch.wav"}, {"sound": "nosuch"}, {"sound": "hum.wav", "frame": 9999},
                  {"sound": "hum.wav", "frame": 1, "event": "a.b"}):  # fmt: skip
        with pytest.raises(FolderError):
            hang(root, "010-hill", **wrong)
    with pytest.raises(FolderError):
        hang(root, "999", "hum.wav")
    with pytest.raises(SoundError):
        hang(root, "010-hill", "thud", told={"seconds": "-1"})
    with pytest.raises(FolderError):
        take_down(root, "010-hill", 99)
    assert files(root) == before


def test_what_is_taken_down_is_gone_from_the_scene_and_stays_in_the_film(root: Path) -> None:
    text = (root / "scenes/010-hill.toml").read_text(encoding="utf-8")
    done = hang(root, "010-hill", "thud", 3)
    assert take_down(root, "010-hill", done.cue) == done.sound
    assert (root / "scenes/010-hill.toml").read_text(encoding="utf-8") == text
    assert (root / "sounds" / done.sound).is_file()


def test_the_command_hangs_and_takes_down(root: Path) -> None:
    run = CliRunner()
    done = run.invoke(build(), ["cue", str(root), "010-hill", "thud", "--frame", "4", "--json"])
    assert done.exit_code == 0, done.output
    told = json.loads(done.stdout)
    assert told["made"] is True
    gone = run.invoke(build(), ["cue", str(root), "010-hill", "--remove", str(told["cue"])])
    assert gone.exit_code == 0
    assert "taken down" in gone.stdout
    assert run.invoke(build(), ["cue", str(root), "010-hill"]).exit_code == 2
