"""Poses and moves from the command line."""

from __future__ import annotations

import json
from pathlib import Path

from tests.tinyfilm import write_tiny
from typer.testing import CliRunner, Result

from splitpin.command.main import build


def splitpin(*words: str) -> Result:
    return CliRunner().invoke(build(), list(words))


def test_a_pose_is_laid_and_told(tmp_path: Path) -> None:
    film = str(write_tiny(tmp_path / "tiny"))
    done = splitpin("pose", film, "010-hill", "--frame", "5", "--who", "cat", "--set", "x = -12", "--json")
    assert json.loads(done.stdout) == {"scene": "010-hill", "frame": 4, "hold": "on"}
    told = splitpin(
        "pose", film, "010-hill", "--frame", "4", "--who", "cat", "--set", "x = 2", "--hold", "here"
    )
    assert "laid so on that exposure alone" in told.stdout


def test_a_move_is_laid_and_told(tmp_path: Path) -> None:
    film = str(write_tiny(tmp_path / "tiny"))
    keys = "by = [4, 0], positions = 3"
    told = splitpin("lay", film, "010-hill", "slide", "--frame", "4", "--who", "cat", "--set", keys)
    assert told.stdout == "slide of cat in 010-hill: frames 6 to 11, 3 positions\n"


def test_what_is_wrong_is_told_and_nothing_is_written(tmp_path: Path) -> None:
    film = write_tiny(tmp_path / "tiny")
    before = (film / "scenes/010-hill.toml").read_bytes()
    for words in (
        ("pose", str(film), "010-hill", "--frame", "4", "--who", "cat", "--set", "tail.angle = 3"),
        ("pose", str(film), "010-hill", "--frame", "4", "--who", "cat", "--set", "x : 3"),
        ("lay", str(film), "010-hill", "fly", "--frame", "4", "--who", "cat"),
        ("lay", str(film), "099", "slide", "--frame", "4", "--who", "cat"),
    ):
        done = splitpin(*words)
        assert done.exit_code == 2, done.output
    assert (film / "scenes/010-hill.toml").read_bytes() == before
