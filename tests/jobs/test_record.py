"""A scratch voice lands in its panel, with papers, and replaces the one before without losing it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import numpy as np
import pytest
import soundfile
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.device.microphone import Microphone
from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError
from splitpin.folder.sheets import expose_all
from splitpin.jobs.record import keep_scratch, record_file, record_scratch
from splitpin.sound.source import SAMPLING, Sound, SoundError


class Fake:
    """Hears a tone."""

    def record(self, seconds: float) -> Iterator[Sound]:
        wave = 0.2 * np.sin(np.arange(round(seconds * SAMPLING)) / 20)
        yield from np.array_split(np.repeat(wave.astype(np.float32)[:, None], 2, axis=1), 3)


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def test_a_recording_is_as_long_as_its_panel_and_is_heard_from_its_start(tiny: Path) -> None:
    kept = record_scratch(Fake(), tiny, "010-hill", "goes")
    assert (kept.file, kept.seconds, kept.replaced) == ("scratch-010-hill-goes.wav", 0.25, None)
    assert soundfile.info(tiny / "sounds" / kept.file).frames == SAMPLING // 4
    folder = load(tiny)
    assert folder.mistakes == ()
    voices = [s for s in expose_all(folder).sheets["010-hill"].soundings if s.cue.kind == "voice"]
    assert [(v.cue.sound, int(v.at)) for v in voices] == [(kept.file, 6)]
    assert "scratch voice for 010-hill/goes" in folder.sounds["scratch-010-hill-goes"].source


def test_a_new_one_takes_the_cue_of_the_old_one_and_writes_over_nothing(tiny: Path) -> None:
    sound = np.concatenate(list(Fake().record(0.2)))
    keep_scratch(tiny, "020-sea", "calm", sound, date(2020, 2, 3))
    scene = tiny / "scenes/020-sea.toml"
    text = scene.read_text(encoding="utf-8").replace('panel = "calm"', 'panel = "calm" # mine\ngain = -3.0')
    scene.write_text(text, encoding="utf-8")
    before = (tiny / "sounds/scratch-020-sea-calm.wav").read_bytes()
    kept = keep_scratch(tiny, "020-sea", "calm", (sound * 0.5).astype(np.float32))
    assert (kept.file, kept.replaced) == ("scratch-020-sea-calm-2.wav", "scratch-020-sea-calm.wav")
    assert (tiny / "sounds/scratch-020-sea-calm.wav").read_bytes() == before
    assert scene.read_text(encoding="utf-8") == text.replace("calm.wav", "calm-2.wav")
    assert load(tiny).sounds["scratch-020-sea-calm"].date == "2020-02-03"


@pytest.mark.parametrize(
    "sound", [np.zeros((100, 2)), np.zeros((0, 2)), np.zeros(9), np.full((9, 2), np.nan)]
)
def test_silence_and_what_is_no_sound_is_not_kept(sound: Sound, tiny: Path) -> None:
    before = sorted((tiny / "sounds").iterdir())
    with pytest.raises(FolderError, match="recording"):
        keep_scratch(tiny, "020-sea", "calm", sound.astype(np.float32))
    assert sorted((tiny / "sounds").iterdir()) == before


@pytest.mark.parametrize(("scene", "panel"), [("020-see", "calm"), ("020-sea", "clam")])
def test_a_panel_that_is_not_there_is_told_before_anything_is_recorded(
    scene: str, panel: str, tiny: Path
) -> None:
    with pytest.raises(FolderError, match="did you mean"):
        record_scratch(Fake(), tiny, scene, panel)


def test_a_file_is_recorded_whole_and_over_nothing(tmp_path: Path) -> None:
    assert record_file(Fake(), 1.5, tmp_path / "a.wav") == 1.5
    with pytest.raises(FolderError, match="--again"):
        record_file(Fake(), 1.5, tmp_path / "a.wav")


def test_the_command_says_plainly_that_there_is_no_microphone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(self: Microphone, seconds: float) -> Iterator[Sound]:
        raise SoundError("microphone", "no microphone that can be used", "one", "plug one in")

    monkeypatch.setattr(Microphone, "record", none)
    done = CliRunner().invoke(build(), ["record", str(tmp_path / "a.wav"), "--seconds", "1"])
    assert done.exit_code == 2
    assert "no microphone" in done.output
    assert not list(tmp_path.iterdir())
