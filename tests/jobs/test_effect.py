"""Effects are made as files and as sounds of a film, with papers, and write over nothing."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
import soundfile
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError
from splitpin.jobs.effect import keep_effect, write_effect
from splitpin.sound.effects import KIT, thud


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def test_an_effect_becomes_24_bits_at_48_kilohertz(tmp_path: Path) -> None:
    made = write_effect("thud", {"seed": "3", "hertz": "60"}, tmp_path / "falls.wav")
    info = soundfile.info(made.file)
    assert (info.samplerate, info.channels, info.subtype) == (48_000, 2, "PCM_24")
    np.testing.assert_allclose(soundfile.read(made.file)[0], thud(3, 60.0), atol=2**-23)


def test_in_a_film_it_has_papers_and_a_number_where_its_name_is_taken(tiny: Path) -> None:
    names = [keep_effect("tick", {}, tiny).file.name for _ in range(2)]
    assert names == ["tick-2.wav", "tick-3.wav"]  # the film has a tick.wav
    folder = load(tiny)
    assert folder.mistakes == ()
    papers = folder.sounds["tick-2"]
    assert papers.licence == "CC0-1.0"
    assert "splitpin effect tick" in papers.source
    assert not [w for w in folder.warnings if "tick-2" in w.file]


def test_no_sound_of_a_film_is_ever_written_over(tiny: Path) -> None:
    before = (tiny / "sounds/tick.wav").read_bytes()
    with pytest.raises(FolderError, match="name it tick-2"):
        keep_effect("pop", {}, tiny, "tick")
    with pytest.raises(FolderError, match="originals"):
        write_effect("pop", {}, tiny / "sounds/tick.wav", again=True)
    assert (tiny / "sounds/tick.wav").read_bytes() == before


def run(*words: str) -> tuple[int, str]:
    done = CliRunner().invoke(build(), ["effect", *words])
    return done.exit_code, done.output


def test_the_command_tells_every_effect_and_makes_one(tmp_path: Path) -> None:
    code, text = run("--list", "--json")
    assert code == 0
    assert [e["name"] for e in json.loads(text)["effects"]] == list(KIT)
    code, text = run(
        "boing", "--seconds", "0.5", "--pitch", "80", "--seed", "2", "-o", str(tmp_path / "b.wav")
    )
    assert code == 0, text
    assert (tmp_path / "b.wav").is_file()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["bang", "-o", "x.wav"], "no effect is called 'bang'"),
        (["thud", "--seconds", "2", "-o", "x.wav"], "the setting 'seconds'"),
        (["clink", "--set", "bounces=3.5", "-o", "x.wav"], "a whole number from 1 to 12"),
        (["clink", "--set", "bounces", "-o", "x.wav"], "NAME=VALUE"),
        (["thud", "-o", "x.mp3"], ".wav"),
        (["thud"], "say one of them"),
        (["thud", "-o", "x.wav", "--into", "."], "say one of them"),
    ],
)
def test_what_cannot_be_made_is_refused_in_one_clear_error(
    words: list[str], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    code, text = run(*words)
    assert code == 2
    assert told in " ".join(text.split())
    assert not list(tmp_path.iterdir())
