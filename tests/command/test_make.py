"""``splitpin make``."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def test_the_result_is_said_in_one_object_for_other_programs(tiny: Path) -> None:
    done = CliRunner().invoke(build(), ["make", str(tiny), "--json"])
    assert done.exit_code == 0, done.output
    said = json.loads(done.stdout)
    assert said["files"] == [str(tiny / "made" / f"tiny.{ending}") for ending in ("mp4", "vtt", "srt")]
    assert (said["frames"], said["seconds"]) == (18, 0.75)
    assert said["loudness"] == pytest.approx(-14.0, abs=0.2)
    assert said["segments"] == {"made": 2, "reused": 0}
    assert Path(said["files"][0]).is_file()


def test_the_result_is_said_in_words_and_progress_in_plain_lines(tiny: Path) -> None:
    done = CliRunner().invoke(build(), ["make", str(tiny)])
    assert done.exit_code == 0, done.output
    assert "tiny.mp4" in done.stdout
    assert "18 frames, 0.75 s, -14.0 LUFS" in done.stdout
    assert "18 of 18 frames" in done.stderr
    again = CliRunner().invoke(build(), ["make", str(tiny)])
    assert "nothing to draw again" in again.stderr


def test_of_each_file_is_said_only_what_is_true_of_it(tiny: Path) -> None:
    done = CliRunner().invoke(build(), ["make", str(tiny), "--outlet", "web", "--outlet", "podcast"])
    assert done.exit_code == 0, done.output
    said = dict(
        line.rsplit("/made/", 1)[1].split("  ", 1) for line in done.stdout.splitlines() if "/made/" in line
    )
    assert said["tiny.mp4"].startswith("18 frames, 0.75 s")
    assert said["tiny.vtt"] == said["tiny.srt"] == "captions"
    (podcast,) = [words for name, words in said.items() if name.endswith((".wav", ".flac"))]
    assert podcast.startswith("0.75 s, ")
    assert said["tiny-podcast-loudness.svg"] == "how loud it is all along"


def test_mistakes_are_told_all_at_once_and_nothing_is_made(tiny: Path) -> None:
    text = (tiny / "film.toml").read_text(encoding="utf-8")
    (tiny / "film.toml").write_text(text.replace("128.0", "-1.0").replace('"24"', '"23"'), encoding="utf-8")
    done = CliRunner().invoke(build(), ["make", str(tiny), "--json"])
    assert done.exit_code == 2
    assert len(json.loads(done.stdout)["mistakes"]) == 2
    assert not (tiny / "made").exists()


def test_a_folder_that_is_none_is_told(tmp_path: Path) -> None:
    done = CliRunner().invoke(build(), ["make", str(tmp_path / "none")])
    assert done.exit_code == 2
    assert "Traceback" not in done.output


def test_an_interrupt_ends_quietly(tiny: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("splitpin.jobs.make.run_all", interrupted)
    done = CliRunner().invoke(build(), ["make", str(tiny)])
    assert done.exit_code == 130
    assert "Traceback" not in done.output


def test_one_scene_can_be_made_alone(tiny: Path) -> None:
    done = CliRunner().invoke(build(), ["make", str(tiny), "--scene", "020-sea", "--json"])
    assert json.loads(done.stdout)["frames"] == 6
    assert (tiny / "made" / "tiny-020-sea.mp4").is_file()
