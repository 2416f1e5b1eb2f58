"""What is there is safe: no command writes over anything unasked, nor ever over what was found."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from tests.command.test_command import splitpin
from tests.mutations import sources
from tests.tinyfilm import png, write_tiny

from splitpin.jobs.check import check


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A film in ``tiny``, and beside it a picture, a hole, lines, and files that were there before."""
    root = write_tiny(tmp_path / "tiny")
    monkeypatch.chdir(tmp_path)
    pixels = np.random.default_rng(3).integers(170, 200, (60, 80, 3)).astype(np.uint8)
    pixels[20:40, 25:55] = (30, 40, 90)
    hole = np.zeros((60, 80), np.uint8)
    hole[5:12, 5:12] = 255
    for place in (tmp_path, root / "pictures"):
        Image.fromarray(pixels).save(place / "page.png")
    Image.fromarray(hole).save(tmp_path / "hole.png")
    for name in ("old.png", "old.svg", "old.txt", "old.csv", "half.toml"):
        (tmp_path / name).write_bytes(b"mine")
    return root


WRITERS = {
    "cut": "cut page.png --box 20,15,40,30 -o",
    "fit": "fit page.png --out",
    "show": "fit page.png --show",
    "mend": "mend page.png --hole hole.png -o",
    "patch": "mend page.png --hole hole.png -o clean.png --ppi 100 --patch",
    "outline": "outline tiny/cutouts/head.png --svg",
    "credits": "credits tiny -o",
    "sheet": "sheet tiny 010-hill --csv",
}
ENDINGS = {"outline": "svg", "credits": "txt", "sheet": "csv"}


def refused(place: Path, *words: str) -> str:
    """What a command said that did not do what it was asked, and changed nothing."""
    before = sources(place)
    done = splitpin(*words)
    assert done.returncode == 2, done
    assert sources(place) == before
    return " ".join(done.stderr.split())


@pytest.mark.parametrize("writer", WRITERS)
def test_a_file_that_is_there_is_written_over_only_when_asked(writer: str, root: Path) -> None:
    old = f"old.{ENDINGS.get(writer, 'png')}"
    words = [*WRITERS[writer].split(), old]
    assert "it is there already" in refused(root.parent, *words)
    assert "say --again to write over it" in refused(root.parent, *words)
    done = splitpin(*words, "--again")
    assert done.returncode == 0, done
    assert (root.parent / old).read_bytes() != b"mine"


@pytest.mark.parametrize("writer", WRITERS)
@pytest.mark.parametrize("file", ["tiny/film.toml", "tiny/pictures/found.png", "tiny/pictures/new", "tiny"])
def test_originals_and_documents_are_never_written_over(writer: str, file: str, root: Path) -> None:
    if file.endswith("new"):
        file = f"{file}.{ENDINGS.get(writer, 'png')}"
    refused(root.parent, *WRITERS[writer].split(), file, "--again")


@pytest.mark.parametrize("writer", [w for w in WRITERS if w not in ENDINGS])
def test_what_a_command_reads_is_never_written_over(writer: str, root: Path) -> None:
    assert "reads or writes already" in refused(
        root.parent, *WRITERS[writer].split(), "../" + root.parent.name + "/page.png", "--again"
    )


@pytest.mark.parametrize("writer", WRITERS)
def test_a_file_is_what_its_name_says(writer: str, root: Path) -> None:
    said = refused(root.parent, *WRITERS[writer].split(), "new.mp4")
    assert f".{ENDINGS.get(writer, 'png')}" in said


def test_a_name_that_no_disk_takes_is_told(root: Path) -> None:
    said = refused(root.parent, *WRITERS["outline"].split(), f"{'a' * 300}.svg")
    assert "nothing can be written there" in said


def test_the_recipe_beside_a_piece_is_safe_too(root: Path) -> None:
    cut = WRITERS["cut"].split()
    assert "half.toml" in refused(root.parent, *cut, "half.png")
    assert "--into" in refused(root.parent, *cut, "tiny/film.png", "--again")
    assert "--into" in refused(root.parent, *cut, "tiny/cutouts/hill.png", "--again")


def test_two_results_do_not_go_to_one_file(root: Path) -> None:
    assert "reads or writes" in refused(root.parent, "fit", "page.png", "-o", "n.png", "--show", "n.png")
    mend = "mend page.png --hole hole.png -o n.png --ppi 100 --patch n.png"
    assert "reads or writes" in refused(root.parent, *mend.split())


def test_a_piece_made_again_elsewhere_asks_too(root: Path) -> None:
    assert splitpin(*WRITERS["cut"].split(), "piece.png").returncode == 0
    assert "already" in refused(root.parent, "cut", "--recipe", "piece.toml", "-o", "old.png")
    assert "reads or writes" in refused(
        root.parent, "cut", "--recipe", "piece.toml", "-o", "page.png", "--again"
    )
    assert splitpin("cut", "--recipe", "piece.toml").returncode == 0


@pytest.mark.parametrize("command", ["cut page --box 20,15,40,30", "mend page --hole hole.png"])
@pytest.mark.parametrize("name", ["../../q", "../q", "a b", "Été 1", "", "con", "a.b", "-a", "a" * 81])
def test_a_cut_out_gets_a_name_that_documents_can_say(command: str, name: str, root: Path) -> None:
    said = refused(root.parent, *command.split(), "--into", "tiny", f"--name={name}")
    assert "letters, digits, - and _" in said


@pytest.mark.parametrize("words", ["--names up,../q", "--names up,con", "--names up,down --character ../q"])
def test_pieces_and_characters_get_such_names_too(words: str, root: Path) -> None:
    (root.parent / "lines.json").write_text("[[[-1, 3], [7, 3]]]", encoding="utf-8")
    said = refused(root.parent, "split", "tiny", "head", "--lines", "lines.json", *words.split())
    assert "letters, digits, - and _" in said


@pytest.mark.parametrize("command", ["cut page --box 20,15,40,30", "mend page --hole hole.png"])
def test_a_result_has_one_place(command: str, root: Path) -> None:
    for words in ("--into tiny --name new -o new.png", "--name new -o new.png"):
        assert "together" in refused(root.parent, *command.split(), *words.split())


def test_the_piece_that_left_a_hole_is_not_mended_away(root: Path) -> None:
    cut = "cut page --box 20,15,40,30 --into tiny --name bit"
    assert splitpin(*cut.split()).returncode == 0
    mend = "mend page --piece tiny/cutouts/bit.toml --into tiny --name bit --again"
    assert "left the hole" in refused(root.parent, *mend.split())


def test_a_hole_of_that_name_is_safe_too(root: Path) -> None:
    (root / "holes").mkdir()
    (root / "holes/wall.png").write_bytes(b"mine")
    mend = "mend page --hole hole.png --into tiny --name wall"
    assert "already" in refused(root.parent, *mend.split())


def test_files_that_no_document_can_name_are_told(root: Path) -> None:
    for place in ("cutouts", "pictures"):
        (root / place / "a b.png").write_bytes(png(4, 4))
    told = {m.file: m.remedy for m in check(root).warnings if "no document" in m.found}
    assert told == {f"{p}/a b.png": "rename it to a-b.png" for p in ("cutouts", "pictures")}


CUT, BOX = "cut page.png -o n.png", "cut page.png -o n.png --box 20,15,40,30"
WRONG = {
    f"{CUT} --box": ("1,2,3", "10,10,0,0", "a", "nan,1,2,3", "1,1,5e9,3", "900,1,2,2"),
    BOX: ("--loop wrong.json", "--keep wrong.json", "--drop wrong.json", "--knife wrong.json"),
    f"{BOX} --edge": ("x",),
    f"{BOX} --ink": ("-1", "x", "nan"),
    f"{BOX} --ppi": ("0", "x"),
    "fit page.png -o n.png": ("--angle 90", "--angle x", "--ppi nan", "--crop 1,2", "--crop 0,0,1.5,2"),
    "mend page.png --hole hole.png -o n.png": ("--grow -1", "--seed x", "--ppi 0", "--underlap nan"),
    "outline tiny/cutouts/head.png": ("--margin nan", "--tolerance 0", "--width -3", "--width x"),
    "split tiny head --lines wrong.json --names a,b": ("--range 999", "--range x", "--seed -1"),
    "bring page.png --into tiny --ppi": ("x", "-3", "nan"),
    "make tiny --workers": ("0", "x"),
}


@pytest.mark.parametrize("line", [f"{command} {value}" for command, some in WRONG.items() for value in some])
def test_a_wrong_value_is_told_in_plain_words(line: str, root: Path) -> None:
    wrong = [[1, 2], ["a", 3]] if "--drop" not in line else [{"points": [[1, 1]], "radius": "big"}]
    (root.parent / "wrong.json").write_text(json.dumps(wrong), encoding="utf-8")
    said = refused(root.parent, *line.split()).replace("Invalid value", "")
    for words in ("Input", "Field", "valid", "parse", "string", "float", "integer", "_mm"):
        assert words not in said, said
