"""Reading the track of a voice, in a film and out of it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build

RUNNER = CliRunner()


def spoken(file: Path) -> Path:
    """Half a second of nothing, half a second of a voice-like buzz, half a second of nothing."""
    t = np.arange(24_000) / 48_000
    buzz = sum(np.sin(2 * np.pi * 120 * k * t) / k for k in range(1, 30)) * 0.2
    quiet = np.zeros(24_000)
    soundfile.write(file, np.concatenate([quiet, buzz, quiet]), 48_000)
    return file


def told(*words: str | Path) -> Any:
    """What the command says to a program; of a refusal the first mistake."""
    result = RUNNER.invoke(build(), ["read", *map(str, words), "--json"])
    data = json.loads(result.stdout)
    return data if result.exit_code == 0 else data["mistakes"][0]


@pytest.fixture
def line(tmp_path: Path) -> Path:
    """A voice in a film."""
    write_tiny(tmp_path / "tiny")
    return spoken(tmp_path / "tiny" / "sounds" / "line.wav")


def shapes(data: Any) -> dict[int, str]:
    """The mouth of each frame."""
    return {f: m["shape"] for m in data["mouths"] for f in range(m["frame"], m["frame"] + m["frames"])}


def test_a_voice_outside_of_a_film_is_read_at_24_on_twos_and_its_mouth_opens_while_it_sounds(
    tmp_path: Path,
) -> None:
    data = told(spoken(tmp_path / "voice.flac"), "--words", "mooo")
    assert (data["rate"], data["on"], data["document"]) == ("24/1", 2, None)
    mouths = shapes(data)
    assert set(mouths) == set(range(36))
    assert {mouths[f] for f in (*range(10), *range(28, 36))} == {"shut"}
    assert "shut" not in {mouths[f] for f in range(14, 22)}
    (word,) = data["words"]
    assert word["word"] == "mooo"
    assert 0.4 < word["start"] < word["end"] < 1.1


def test_other_rates_and_exposures_are_taken_when_they_are_told(tmp_path: Path) -> None:
    data = told(spoken(tmp_path / "voice.wav"), "--fps", "30000/1001", "--on", "3")
    assert (data["rate"], data["on"]) == ("30000/1001", 3)
    assert all(m["frame"] % 3 == m["frames"] % 3 == 0 for m in data["mouths"])


def test_people_get_a_line_for_each_mouth_with_a_bar_and_its_words(tmp_path: Path) -> None:
    out = RUNNER.invoke(build(), ["read", str(spoken(tmp_path / "v.wav")), "--words", "mooo"]).stdout
    lines = out.splitlines()
    assert lines[0].split() == ["frame", "held", "mouth", "opening", "words"]
    assert lines[1].split()[2:5] == ["shut", "..........", "0.00"]
    assert sum("mooo" in line for line in lines) == 1
    assert any("#" in line for line in lines)


def test_a_films_document_tells_the_words_and_keeps_mouths_set_by_hand_and_comments(line: Path) -> None:
    papers = line.with_suffix(".toml")
    papers.write_text('format = 1  # mine\nlicence = "CC0-1.0"\n', encoding="utf-8")
    assert told(line, "--words", "no no", "--write")["document"] == "sounds/line.toml"
    assert [word["word"] for word in told(line)["words"]] == ["no", "no"]
    before = shapes(told(line))
    data = told(line, "--overrule", "2-5:round:0.6", "--overrule", "20:shut")
    assert shapes(data) == before | dict.fromkeys(range(2, 6), "round") | {20: "shut", 21: "shut"}
    assert next(m["opening"] for m in data["mouths"] if m["shape"] == "round") == 0.6
    again = papers.read_text(encoding="utf-8") + "[reading]\nspeech = 0.9\nopen = 1.0\n"
    papers.write_text(again, encoding="utf-8")
    assert "# mine" in again
    other = shapes(told(line))
    assert {other[f] for f in range(2, 6)} == {"round"}
    assert (other[20], other[21]) == ("shut", "shut")
    told(line, "--forget", "3", "--forget", "20")
    assert "overrules" not in papers.read_text(encoding="utf-8")


def test_a_mouth_set_again_takes_the_place_of_the_one_before(line: Path) -> None:
    told(line, "--overrule", "2-5:round")
    told(line, "--overrule", "0-7:small")
    assert line.with_suffix(".toml").read_text(encoding="utf-8").count("shape") == 1


@pytest.mark.parametrize(
    ("words", "found", "remedy"),
    [
        (("--fps", "23.98"), "'23.98'", "choose"),
        (("--overrule", "12:wide"), "'12:wide'", "such as 12:round:0.6"),
        (("--overrule", "x:round"), "'x:round'", "such as 12"),
        (("--overrule", "12:round:7"), "'12:round:7'", "such as 12:round:0.6"),
        (("--overrule", "900:round"), "frame 900", "count them"),
        (("--forget", "12"), "no mouth is set by hand at frame 12", "look into"),
        (("--forget", "a"), "'a'", "such as 12"),
        (("--write",), "--write without words", "say them"),
        (("--words", "a", "--transcript", "b"), "both", "leave one"),
        (("--transcript", "nowhere.txt"), "no text", "look at its name"),
    ],
    ids=str,
)
def test_what_cannot_be_done_is_told_with_a_remedy(
    line: Path, words: tuple[str, ...], found: str, remedy: str
) -> None:
    said = told(line, *words)
    assert found in said["found"]
    assert remedy in said["remedy"]


def test_a_mouth_is_set_by_hand_only_in_a_film(tmp_path: Path) -> None:
    assert "outside of a film" in told(spoken(tmp_path / "v.wav"), "--overrule", "2:round")["found"]


def test_a_voice_that_is_none_or_goes_on_for_ever_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "v.wav").write_text("no sound", encoding="utf-8")
    assert "damaged" in told(tmp_path / "v.wav")["found"]
    monkeypatch.setattr("splitpin.jobs.read.LONGEST", 1)
    assert "half an hour" in told(spoken(tmp_path / "w.wav"))["found"]


def test_mistakes_in_the_document_of_the_sound_are_told_with_their_line(line: Path) -> None:
    line.with_suffix(".toml").write_text("format = 1\n[reading]\nshut_frames = 0\n", encoding="utf-8")
    said = told(line)
    assert (said["file"], said["line"]) == ("sounds/line.toml", 3)


def test_a_transcript_is_read_from_a_file(tmp_path: Path, line: Path) -> None:
    text: Callable[[str], int] = (tmp_path / "said.txt").write_text
    text("ja nein\n")
    assert [w["word"] for w in told(line, "--transcript", tmp_path / "said.txt")["words"]] == ["ja", "nein"]


def test_a_voice_heard_alone_in_a_panel_says_its_line_unless_other_words_are_given(line: Path) -> None:
    scene = line.parent.parent / "scenes/010-hill.toml"
    cue = '\n[[cues]]\nsound = "line.wav"\nkind = "voice"\npanel = "goes"\n'
    assert told(line)["words"] == []
    scene.write_text(scene.read_text(encoding="utf-8") + cue, encoding="utf-8")
    data = told(line)
    assert ([word["word"] for word in data["words"]], data["line"]) == (["Mrow?"], "Mrow?")
    said = RUNNER.invoke(build(), ["read", str(line)]).stdout.splitlines()
    assert said[0] == "words as its panel says them: Mrow?"
    other = told(line, "--words", "no no")
    assert ([word["word"] for word in other["words"]], other["line"]) == (["no", "no"], "")
    line.with_suffix(".toml").write_text('format = 1\nwords = "yes"\n', encoding="utf-8")
    assert [word["word"] for word in told(line)["words"]] == ["yes"]
    line.with_suffix(".toml").unlink()
    scene.write_text(scene.read_text(encoding="utf-8") + cue.replace("line", "tick"), encoding="utf-8")
    assert told(line)["words"] == []
