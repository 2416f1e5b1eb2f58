"""What commands say to programs, to full disks and to those who have left."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build


@pytest.mark.parametrize(
    "words",
    [
        ["chekc", "--json"],
        ["check", "x", "--jsno", "--json"],
        ["make", "--workers", "0", "--json"],
        ["sheet", "--json"],
        ["check", "nowhere", "--json"],
        ["make", "nowhere", "--json"],
        ["credits", "nowhere", "--json"],
        ["bring", "nothing.png", "--into", "nowhere", "--json"],
        ["outline", "nothing.png", "--json"],
        ["cut", "--json"],
    ],
)
def test_whatever_is_wrong_is_said_to_programs_in_one_shape(words: Sequence[str]) -> None:
    done = CliRunner().invoke(build(), list(words))
    assert done.exit_code == 2, done.output
    said = json.loads(done.stdout)
    assert set(said) == {"mistakes", "warnings"}
    assert said["mistakes"]
    for mistake in said["mistakes"]:
        assert set(mistake) == {"file", "line", "found", "expected", "remedy"}
        assert mistake["found"]
        assert mistake["remedy"]


def test_a_film_is_made_where_one_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(write_tiny(tmp_path / "tiny"))
    for command in ("check", "make", "credits"):
        assert CliRunner().invoke(build(), [command, "--json"]).exit_code == 0
    assert (tmp_path / "tiny" / "made" / "tiny.mp4").is_file()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device here that is always full")
@pytest.mark.parametrize("words", [["--help"], ["--version"], ["check", "nowhere"], ["check", "--json"]])
def test_a_full_disk_is_told_in_one_line(words: Sequence[str]) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "splitpin", *words], stdout=full, stderr=subprocess.PIPE, text=True
        )
    assert done.returncode == 1
    assert len(done.stderr.strip().splitlines()) == 1
    assert "room" in done.stderr


@pytest.mark.parametrize("words", [["--help"], ["check", "nowhere"]])
def test_who_closes_the_pipe_has_read_enough(words: Sequence[str]) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "splitpin", *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
    assert process.returncode == 1


def test_an_interrupt_while_the_program_loads_ends_quietly(tmp_path: Path) -> None:
    (tmp_path / "typer.py").write_text("raise KeyboardInterrupt", encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "splitpin", "--help"],
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
        capture_output=True,
    )
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"")
