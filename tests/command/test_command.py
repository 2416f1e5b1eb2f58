"""The command line: results, exit codes and clear errors, on every kind of terminal."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import pytest
from tests.mutations import sources
from tests.tinyfilm import FILES, write_tiny
from typer.testing import CliRunner

from splitpin.command.main import COMMANDS, build
from splitpin.command.speak import Explained, Refused, printable
from splitpin.folder.mistake import FolderError


class Done(NamedTuple):
    returncode: int
    stdout: str
    stderr: str


def splitpin(*words: str | Path) -> Done:
    """Run a command in this process, which is quick."""
    result = CliRunner(env={"COLUMNS": "100"}).invoke(build(), [str(w) for w in words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return Done(result.exit_code, result.stdout, result.stderr)


def started(*words: str | Path, encoding: str = "utf-8") -> subprocess.CompletedProcess[str]:
    """Run a command as a person does."""
    return subprocess.run(
        [sys.executable, "-m", "splitpin", *map(str, words)],
        capture_output=True,
        encoding=encoding,
        errors="strict",
        env={**os.environ, "PYTHONIOENCODING": encoding, "COLUMNS": "100"},
        timeout=120,
        check=False,
    )


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def garble(root: Path) -> None:
    scene = root / "scenes/010-hill.toml"
    scene.write_text(
        scene.read_text(encoding="utf-8").replace("positions = 2", "positoins = 2"), encoding="utf-8"
    )


def test_help_names_every_command_and_imports_nothing_heavy() -> None:
    heavy = ("numba", "cv2", "av", "numpy", "scipy", "soundfile", "skimage", "pydantic", "PIL")
    script = (
        "import sys; from splitpin.command.main import build\n"
        "try:\n    build()(['--help'])\nexcept SystemExit as e:\n    code = e.code\n"
        f"print('heavy:', [m for m in {heavy!r} if m in sys.modules], code)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert "heavy: [] 0" in done.stdout
    for command in COMMANDS:
        assert re.search(rf"\b{command.__name__}\b", done.stdout)


@pytest.mark.parametrize("command", [c.__name__ for c in COMMANDS])
def test_every_command_has_help_with_an_example_and_json(command: str) -> None:
    done = splitpin(command, "--help")
    assert done.returncode == 0
    assert f"splitpin {command} " in done.stdout.split("Arguments")[0].split("Usage", 1)[1].split("\n", 1)[1]
    assert "--json" in done.stdout


def test_help_shows_brackets_as_they_are_to_be_typed() -> None:
    assert "[[x, y], …]" in splitpin("cut", "--help").stdout
    assert "[[[x, y], …], …]" in splitpin("split", "--help").stdout


def test_the_version_is_said() -> None:
    done = started("--version")
    assert re.fullmatch(r"splitpin \d+\.\d+\S*\n", done.stdout)


@pytest.mark.parametrize("words", [["chekc"], ["check"], ["check", "x", "--jsno"], ["sheet", "x"]])
def test_wrong_use_ends_with_2_and_no_traceback(words: Sequence[str]) -> None:
    done = splitpin(*words)
    assert done.returncode == 2
    assert "Traceback" not in done.stdout + done.stderr


def test_a_new_film_is_right_and_ready(tmp_path: Path) -> None:
    made = splitpin("new", tmp_path / "hello")
    assert (made.returncode, made.stderr) == (0, "")
    assert (tmp_path / "hello/film.toml").is_file()
    checked = started("check", tmp_path / "hello", "--json")
    assert checked.returncode == 0
    assert json.loads(checked.stdout) == {"mistakes": [], "warnings": []}


def test_a_new_film_sails_as_the_readme_says(tmp_path: Path) -> None:
    root = tmp_path / "hello"
    splitpin("new", root)
    (root / "cutouts/boat.png").write_bytes(FILES["cutouts/ball.png"])
    (root / "cutouts/boat.toml").write_text("format = 1\nwidth_mm = 90\n")
    with (root / "scenes/010-first.toml").open("a") as scene:
        scene.write(
            '[cast.boat]\ncutout = "boat"\nx = -150\n[[moves]]\nmove = "slide"\nwho = "boat"\nto = [150, 0]\n'
        )
    assert splitpin("check", root).returncode == 0


@pytest.mark.parametrize("name", ["Zoë's film", 'quo"te', "back\\slash", "[bold]x[/bold]", "x" * 150])
def test_a_new_film_may_have_any_name_that_the_disk_allows(tmp_path: Path, name: str) -> None:
    if sys.platform == "win32" and set(name) & set('"\\'):
        pytest.skip("no name on this disk")
    assert splitpin("new", tmp_path / name).returncode == 0
    assert splitpin("check", tmp_path / name).returncode == 0


def test_a_new_film_is_not_written_over_anything(root: Path, tmp_path: Path) -> None:
    before = sources(root)
    for place in (root, root / "film.toml"):
        done = splitpin("new", place)
        assert done.returncode == 2
        assert "name another place" in done.stderr
    assert sources(root) == before


def test_check_shows_the_line_and_what_to_do(root: Path) -> None:
    garble(root)
    done = splitpin("check", root)
    assert done.returncode == 2
    assert "scenes/010-hill.toml\n  line 30  positoins = 2\n" in done.stdout
    assert "did you mean positions?" in done.stdout
    assert "1 mistake, no warnings" in done.stdout
    assert done.stderr == ""


def test_check_says_the_same_in_json(root: Path) -> None:
    garble(root)
    done = splitpin("check", root, "--json")
    assert done.returncode == 2
    (mistake,) = json.loads(done.stdout)["mistakes"]
    assert set(mistake) == {"file", "line", "found", "expected", "remedy"}
    assert (mistake["file"], mistake["line"]) == ("scenes/010-hill.toml", 30)


def test_warnings_do_not_change_the_exit_code(root: Path) -> None:
    (root / "pictures/found.toml").unlink()
    done = splitpin("check", root, "--json")
    assert done.returncode == 0
    assert [w["file"] for w in json.loads(done.stdout)["warnings"]] == ["pictures/found.png"]


def test_where_there_is_no_film_check_says_so_in_both_ways(tmp_path: Path) -> None:
    done = splitpin("check", tmp_path, "--json")
    assert done.returncode == 2
    assert json.loads(done.stdout)["mistakes"][0]["file"] == "film.toml"
    assert splitpin("check", tmp_path / "nowhere").returncode == 2


@pytest.mark.parametrize("encoding", ["ascii", "cp437", "cp1252", "cp932"])
def test_every_code_page_carries_the_output(root: Path, encoding: str) -> None:
    garble(root)
    film = root / "film.toml"
    film.write_text(film.read_text(encoding="utf-8").replace("Tiny", "Żółć 猫\\u0007"), encoding="utf-8")
    film.write_text(film.read_text(encoding="utf-8").replace("on = 2", "猫 = 2"), encoding="utf-8")
    for words in (["--help"], ["check", root]):
        done = started(*words, encoding=encoding)
        assert done.returncode in (0, 2)
        assert "Traceback" not in done.stdout + done.stderr
        assert done.stdout + done.stderr


def test_the_sheet_goes_out_and_in_as_a_table(root: Path, tmp_path: Path) -> None:
    table = tmp_path / "hill.csv"
    assert splitpin("sheet", root, "010-hill", "--csv", table).returncode == 0
    done = json.loads(splitpin("sheet", root, "010-hill", "--in", table, "--json").stdout)
    assert done == {"touches": 0, "added": 0, "changed": 0, "removed": 0, "missing": 0}
    lines = table.read_text().splitlines()
    column = lines[0].split(",").index("cat.x")
    cells = lines[3].split(",")
    cells[column] = "7.5"
    lines[3] = ",".join(cells)
    table.write_text("\n".join(lines))
    assert "touches of 010-hill: 1 new" in splitpin("sheet", root, "010-hill", "--in", table).stdout
    again = splitpin("sheet", root, "010-hill", "--in", table, "--csv", table, "--again", "--json")
    done = json.loads(again.stdout)
    assert (done["touches"], done["exposures"]) == (0, 6)
    assert table.read_text().splitlines()[3].split(",")[column] == "7.5"
    table.write_text("\n".join(table.read_text().splitlines()[:2]))
    told = splitpin("sheet", root, "010-hill", "--in", table).stdout
    assert "5 exposures have no line in the table; they are left as they are" in told
    assert splitpin("check", root).returncode == 0


def test_a_table_is_not_written_over_unless_that_is_said_and_no_folder_is_made(
    root: Path, tmp_path: Path
) -> None:
    table = tmp_path / "hill.csv"
    table.write_text("kept")
    done = splitpin("sheet", root, "010-hill", "--csv", table)
    assert (done.returncode, table.read_text()) == (2, "kept")
    assert "say --again" in done.stderr
    assert splitpin("sheet", root, "010-hill", "--csv", tmp_path / "new/hill.csv").returncode == 2
    assert not (tmp_path / "new").exists()
    assert splitpin("sheet", root, "010-hill", "--csv", tmp_path).returncode == 2
    assert splitpin("sheet", root, "010-hill", "--csv", table, "--again").returncode == 0
    assert table.read_text().startswith("frame,")


def test_the_sheet_tells_who_moves_where_and_what_is_heard_and_said(root: Path) -> None:
    lines = splitpin("sheet", root, "010-hill").stdout.splitlines()
    assert all(len(line) <= 100 for line in lines)
    assert "cat -20 0 0°" in lines[1]
    assert any("tick.wav" in line for line in lines)
    touched = next(n for n, line in enumerate(lines) if "cat 4 0 0° head -3°" in line)
    assert any("cat -20 0 0° head 5°" in line for line in lines[touched + 1 :])
    assert any("“Mrow?”" in line for line in lines)


def test_the_sheet_of_a_scene_with_mistakes_names_all_of_them(root: Path) -> None:
    scene = root / "scenes/010-hill.toml"
    text = scene.read_text(encoding="utf-8")
    scene.write_text(
        text.replace("pause.end", "pause.ned").replace("frame = 2", "frame = 99"), encoding="utf-8"
    )
    done = splitpin("sheet", root, "010-hill", "--json")
    assert done.returncode == 2
    assert len(json.loads(done.stdout)["mistakes"]) == 2
    assert all(mistake["line"] for mistake in json.loads(done.stdout)["mistakes"])


def test_a_table_that_cannot_be_is_refused_and_changes_nothing(root: Path, tmp_path: Path) -> None:
    before = sources(root)
    table = tmp_path / "hill.csv"
    for data in (b"", b"x,y\n", b"frame,frames,panel\n9999,2,goes\n", b"\xff\xfe\0", b'frame,"\0'):
        table.write_bytes(data)
        done = splitpin("sheet", root, "010-hill", "--in", table)
        assert done.returncode == 2, data
        assert "Traceback" not in done.stderr
    assert splitpin("sheet", root, "010-hill", "--in", tmp_path / "absent.csv").returncode == 2
    assert splitpin("sheet", root, "010-hlil").returncode == 2
    assert sources(root) == before


def test_trouble_of_its_own_is_one_line_and_a_file(root: Path) -> None:
    script = (
        "import sys, splitpin.jobs.check as job\n"
        "def broken(root): raise ZeroDivisionError('nobody foresaw this')\n"
        "job.check = broken\n"
        f"sys.argv = ['splitpin', 'check', {str(root)!r}]\n"
        "from splitpin.command.main import run\nrun()\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "Traceback" not in done.stdout + done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert "ZeroDivisionError" in (root / "made/trouble.txt").read_text(encoding="utf-8")


def test_an_interrupt_ends_with_130(root: Path) -> None:
    script = (
        "import sys, splitpin.jobs.check as job\n"
        "def stopped(root): raise KeyboardInterrupt\n"
        "job.check = stopped\n"
        f"sys.argv = ['splitpin', 'check', {str(root)!r}]\n"
        "from splitpin.command.main import run\nrun()\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (130, "")


def test_errors_that_explain_themselves_are_known_by_what_they_say() -> None:
    assert isinstance(FolderError("a", "b", "c", "d"), Explained)
    assert not isinstance(FolderError("a", "b", "c", "d"), Refused)
    assert not isinstance(ValueError("x"), Explained)


def test_letters_that_steer_a_terminal_are_not_printed() -> None:
    assert printable("a\x1b[31mb\x07") == "a\ufffd[31mb\ufffd"


def test_a_command_that_is_suggested_can_be_typed_as_it_stands(tmp_path: Path) -> None:
    folder = tmp_path / "my first film"
    assert f'splitpin make "{folder}"' in splitpin("new", folder).stdout
