"""Splitting and outlining as a person asks for them: files written, numbers said, slips explained."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from tests.command.test_command import Done, splitpin

from splitpin.device.pictures import read_picture, write_png
from splitpin.folder.load import load

LINES = [[[80, 10], [84, 90]]]


@pytest.fixture
def root(tmp_path: Path) -> Path:
    folder = tmp_path / "film"
    assert splitpin("new", folder).returncode == 0
    ys, xs = np.indices((100, 170))
    grey = (90 + 60 * ((xs + ys) // 8 % 2)).astype(np.uint8)
    alpha = np.zeros((100, 170), np.uint8)
    alpha[28:72, 10:160] = 255
    write_png(folder / "cutouts" / "limb.png", np.dstack([grey, grey, grey, alpha]))
    (folder / "cutouts" / "limb.toml").write_text("format = 1\nwidth_mm = 85.0\n", encoding="utf-8")
    (folder / "lines.json").write_text(json.dumps(LINES), encoding="utf-8")
    return folder


def split(root: Path, *more: str, lines: str = "lines.json", names: str = "body,arm") -> Done:
    return splitpin("split", root, "limb", "--lines", root / lines, "--names", names, *more)


def test_split_writes_pieces_with_recipes_and_a_character_that_checks_without_mistakes(root: Path) -> None:
    done = split(root, "--range", "45", "--json")
    assert done.returncode == 0, done.stderr
    said = json.loads(done.stdout)
    assert [p["cutout"] for p in said["pieces"]] == ["limb-body", "limb-arm"]
    assert said["character"] == "limb"
    folder = load(root)
    assert folder.mistakes == ()
    arm = folder.characters["limb"].pieces["arm"]
    assert arm.limits == (-45.0, 45.0)
    assert arm.on == "body.arm"
    for piece in said["pieces"]:
        document = tomllib.loads((root / "cutouts" / f"{piece['cutout']}.toml").read_text(encoding="utf-8"))
        assert document["width_mm"] == pytest.approx(piece["box"][2] * 0.5)
        assert document["recipe"]["kind"] == "split"
        assert document["recipe"]["cutout"] == "limb"
        assert document["recipe"]["at"] == piece["box"][:2]
        picture = read_picture(root / "cutouts" / f"{piece['cutout']}.png")
        assert picture.shape[:2] == (piece["box"][3], piece["box"][2])


def test_ink_of_the_cutout_goes_over_to_its_pieces_and_a_line_that_moved_is_told(root: Path) -> None:
    ys, xs = np.indices((180, 180))
    shoulders = (ys >= 100) & (ys < 170) & (np.abs(xs - 90) < 10 + 3 * (ys - 100))
    neck = (ys >= 10) & (ys < 170) & (np.abs(xs - 90) < 10)
    alpha = np.where(shoulders | neck, 255, 0).astype(np.uint8)
    write_png(root / "cutouts" / "limb.png", np.dstack([np.full((180, 180, 3), 120, np.uint8), alpha]))
    words = 'format = 1\nwidth_mm = 85.0\n[recipe]\nkind = "cut"\nbox = [1, 1, 9, 9]\nink_mm = 0.5\n'
    (root / "cutouts" / "limb.toml").write_text(words, encoding="utf-8")
    (root / "lines.json").write_text("[[[45, 106], [135, 106]]]", encoding="utf-8")
    (told,) = json.loads(split(root, "--json").stdout)["warnings"]
    assert told["found"].startswith("line 1 lay on a flare and was moved by ")
    recipe = tomllib.loads((root / "cutouts" / "limb-arm.toml").read_text(encoding="utf-8"))["recipe"]
    assert (recipe["ink_mm"], recipe["ink_ppi"]) == (0.5, 300.0)
    assert json.loads(split(root, "--again", "--as-drawn", "--json").stdout)["warnings"] == []
    assert "as_drawn = true" in (root / "cutouts" / "limb-arm.toml").read_text(encoding="utf-8")


def test_the_same_split_writes_the_same_bytes_again_only_when_asked(root: Path) -> None:
    assert split(root).returncode == 0
    first = {p.name: p.read_bytes() for p in sorted((root / "cutouts").iterdir())}
    again = split(root)
    assert again.returncode == 2
    assert "--again" in again.stderr
    assert split(root, "--again").returncode == 0
    assert {p.name: p.read_bytes() for p in sorted((root / "cutouts").iterdir())} == first


def test_a_split_piece_is_made_again_from_its_recipe_to_the_byte_and_follows_its_edits(root: Path) -> None:
    assert split(root).returncode == 0
    piece, recipe = (root / "cutouts" / f"limb-arm.{ending}" for ending in ("png", "toml"))
    before, words = piece.read_bytes(), recipe.read_text(encoding="utf-8")
    piece.unlink()
    done = splitpin("cut", "--recipe", recipe, "--json")
    assert done.returncode == 0, done.stderr
    assert piece.read_bytes() == before
    assert recipe.read_text(encoding="utf-8") == words
    # The line moved by ten pixels to the right leaves the arm so much less.
    for old, new in (("80.0", "90.0"), ("84.0", "94.0")):
        assert old in words
        words = words.replace(old, new)
    recipe.write_text(words, encoding="utf-8")
    assert splitpin("cut", "--recipe", recipe).returncode == 0
    document, width = tomllib.loads(recipe.read_text(encoding="utf-8")), read_picture(piece).shape[1]
    assert document["recipe"]["at"][0] + width == 160
    assert document["width_mm"] == pytest.approx(width * 0.5)
    assert load(root).mistakes == ()


@pytest.mark.parametrize(
    ("content", "names", "said"),
    [
        ("[", "a,b", "not JSON"),
        ("3", "a,b", "no list"),
        ('[[[1, "x"]]]', "a,b", "not a list of [x, y]"),
        ("[[[1, 2, 3]]]", "a,b", "not a list of [x, y]"),
        ("[[[5, 5], [165, 5]]]", "a,b", "misses the piece"),
        ("[[[80, 10], [84, 90]]]", "a", "1 for 1 line"),
        ("[[[80, 10], [84, 90]]]", "a,b/c", "b/c"),
    ],
)
def test_slips_are_explained_and_nothing_is_written(root: Path, content: str, names: str, said: str) -> None:
    (root / "slip.json").write_text(content, encoding="utf-8")
    done = split(root, lines="slip.json", names=names)
    assert done.returncode == 2
    assert said in done.stderr
    assert sorted(p.name for p in (root / "cutouts").iterdir()) == ["limb.png", "limb.toml"]
    assert list((root / "characters").iterdir()) == []


def test_a_cutout_that_is_not_there_is_named_with_what_may_be_meant(root: Path) -> None:
    done = splitpin("split", root, "limbo", "--lines", root / "lines.json", "--names", "a,b")
    assert done.returncode == 2
    assert "did you mean limb?" in done.stderr


def test_one_line_may_stand_without_the_outer_brackets(root: Path) -> None:
    (root / "one.json").write_text(json.dumps(LINES[0]), encoding="utf-8")
    assert split(root, lines="one.json").returncode == 0


def test_outline_says_its_size_and_draws_it(root: Path, tmp_path: Path) -> None:
    done = splitpin("outline", root / "cutouts" / "limb.png", "--svg", tmp_path / "limb.svg", "--json")
    assert done.returncode == 0, done.stderr
    said = json.loads(done.stdout)
    assert said["size_mm"] == [85.0, 50.0]
    assert said["box_mm"] == pytest.approx([5, 14, 80, 36], abs=0.15)
    assert [loop["hole"] for loop in said["loops"]] == [False]
    drawing = ElementTree.parse(tmp_path / "limb.svg").getroot()  # noqa: S314
    path = drawing.find("{http://www.w3.org/2000/svg}path")
    assert path is not None
    assert path.attrib["d"] == said["path"]


def test_a_margin_widens_the_box_on_every_side(root: Path) -> None:
    done = splitpin("outline", root / "cutouts" / "limb.png", "--margin", "2", "--json")
    assert json.loads(done.stdout)["box_mm"] == pytest.approx([3, 12, 82, 38], abs=0.15)


def test_a_picture_of_unknown_size_is_asked_for_its_width(root: Path, tmp_path: Path) -> None:
    alone = tmp_path / "alone.png"
    alone.write_bytes((root / "cutouts" / "limb.png").read_bytes())
    done = splitpin("outline", alone)
    assert done.returncode == 2
    assert "--width" in done.stderr
    assert splitpin("outline", alone, "--width", "85").stdout.startswith("75.")


@pytest.mark.parametrize("name", ["none.png", "lines.json"])
def test_what_is_no_cutout_is_refused(root: Path, name: str) -> None:
    done = splitpin("outline", root / name, "--width", "10")
    assert done.returncode == 2
    assert done.stderr


def test_outline_tells_what_a_margin_makes_of_parts_and_holes(tmp_path: Path) -> None:
    rgba = np.zeros((100, 180, 4), np.uint8)
    rgba[20:80, 20:80, 3] = 255
    rgba[42:58, 42:58, 3] = 0
    rgba[20:80, 100:160, 3] = 255
    write_png(tmp_path / "two.png", rgba)
    words = ("outline", tmp_path / "two.png", "--width", "90", "--margin")
    told = splitpin(*words, "6", "--json")
    assert json.loads(told.stdout)["notes"] == [
        "at a margin of 6 mm its 2 parts run together, into one line",
        "at a margin of 6 mm 1 of its 1 holes close",
    ]
    assert "run together" in splitpin(*words, "6").stdout
    assert json.loads(splitpin(*words, "1", "--json").stdout)["notes"] == []
