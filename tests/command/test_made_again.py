"""Pieces and mended pictures have their size by what is known, and keep it when they are made again."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from PIL import Image
from tests.command.test_mend_command import disc, page, run
from tests.tinyfilm import write_tiny

from splitpin.folder.mistake import FolderError
from splitpin.jobs import remade


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A picture, a hole in it, and a film that has both."""
    monkeypatch.chdir(tmp_path)
    root = write_tiny(tmp_path / "tiny")
    page().save("page.png")
    page().save(root / "pictures/page.png")
    disc().save("hole.png")
    return root


def width_mm(document: Path) -> float:
    return float(tomllib.loads(document.read_text(encoding="utf-8"))["width_mm"])


@pytest.mark.parametrize("into", [False, True])
@pytest.mark.parametrize("patch", [False, True])
def test_a_mended_picture_is_as_wide_as_the_ppi_says(into: bool, patch: bool, desk: Path) -> None:
    words = ["mend", "page" if into else "page.png", "--hole", "hole.png", "--json"]
    words += ["--into", "tiny", "--name", "clean"] if into else ["-o", "clean.png"]
    document = desk / "cutouts/clean.toml" if into else Path("clean.toml")
    said = json.loads(run(*words, "--ppi", "600", *(["--patch", "p.png"] if patch else []))[1])
    assert (said["ppi"], said["ppi_assumed"]) == (600.0, False)
    assert width_mm(document) == pytest.approx(120 * 25.4 / 600)
    said = json.loads(run("mend", "--recipe", document, "--json")[1])
    assert (said["ppi"], said["ppi_assumed"]) == (pytest.approx(600.0), False)


def test_a_ppi_that_mending_assumes_is_told(desk: Path) -> None:
    words = ("mend", "page.png", "--hole", "hole.png", "-o", "clean.png", "--again")
    assert "no ppi known: 300 taken" in " ".join(run(*words)[1].split())
    said = json.loads(run(*words, "--json")[1])
    assert (said["ppi"], said["ppi_assumed"]) == (300.0, True)
    assert "no ppi known" not in run(*words, "--ppi", "300")[1]


def test_a_mended_picture_keeps_its_scale_when_it_is_cropped_otherwise(desk: Path) -> None:
    assert run("cut", "page", "--box", "30,20,40,40", "--into", "tiny", "--name", "disc")[0] == 0
    mend = ("mend", "page", "--piece", desk / "cutouts/disc.toml", "--into", "tiny", "--name", "wall")
    assert run(*mend, "--ppi", "600")[0] == 0
    document = desk / "cutouts/wall.toml"
    (desk / "pictures/page.toml").write_text("format = 1\n[fit]\ncrop = [0, 0, 90, 80]\n")
    assert run("mend", "--recipe", document)[0] == 0
    assert width_mm(document) == pytest.approx(90 * 25.4 / 600)
    (desk / "cutouts/wall.png").unlink()
    assert run("mend", "--recipe", document)[0] == 0
    assert width_mm(document) == pytest.approx(90 * 25.4 / 600)


def test_words_made_again_tell_the_ppi_of_their_recipe(desk: Path) -> None:
    assert run("letter", desk, "sign", "--text", "OPEN", "--size-mm", "4", "--ppi", "600")[0] == 0
    said = json.loads(run("cut", "--recipe", desk / "cutouts/sign.toml", "--json")[1])
    assert (said["ppi"], said["ppi_assumed"]) == (600.0, False)


def test_words_made_finer_stay_as_large_on_the_table(desk: Path) -> None:
    assert run("letter", desk, "sign", "--text", "OPEN", "--size-mm", "4")[0] == 0
    document = desk / "cutouts/sign.toml"
    before = width_mm(document)
    document.write_text(document.read_text(encoding="utf-8") + "ppi = 600\n", encoding="utf-8")
    assert run("cut", "--recipe", document)[0] == 0
    assert width_mm(document) == pytest.approx(before, abs=0.2)


def test_a_piece_that_cannot_be_written_is_not_noted_as_made(
    desk: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run("cut", "page", "--box", "30,20,40,40", "--into", "tiny", "--name", "disc")[0] == 0
    document = desk / "cutouts/disc.toml"
    before = document.read_bytes()
    changed = page()
    changed.putpixel((2, 2), (1, 2, 3))
    changed.save(desk / "pictures/page.png")

    def full(_: object) -> None:
        raise FolderError("disc.png", "it cannot be written (disk full)", "room", "make room")

    with monkeypatch.context() as disk:
        disk.setattr(remade, "write_set", full)
        assert run("cut", "--recipe", document)[0] == 2
    assert document.read_bytes() == before
    assert "has changed since" in " ".join(run("cut", "--recipe", document)[1].split())
    assert document.read_bytes() != before


@pytest.mark.parametrize("command", ["cut page.png --box 30,20,40,40", "mend page.png --hole hole.png"])
@pytest.mark.parametrize("place", ["cutouts", "characters"])
def test_what_could_never_be_made_again_is_not_put_among_the_documents_of_a_film(
    command: str, place: str, desk: Path
) -> None:
    code, _, told = run(*command.split(), "-o", f"tiny/{place}/x.png")
    assert code == 2
    assert "is written with --into and --name" in " ".join(told.split())
    assert not list((desk / place).glob("x.*"))


@pytest.mark.parametrize(
    "words",
    [
        "cut page.png", "cut --edge soft", "cut --ink 0", "cut --ppi 600", "cut --box 1,1,9,9",
        "cut --name x",
        "mend page.png", "mend --seed 0", "mend --hole hole.png", "mend --ppi 600", "mend --underlap 3",
        "mend --patch p.png",
    ],
)  # fmt: skip
def test_what_a_recipe_would_not_listen_to_is_refused_beside_it(words: str, desk: Path) -> None:
    command, *more = words.split()
    assert run("mend", "page.png", "--hole", "hole.png", "-o", "m.png")[0] == 0
    assert run("cut", "page.png", "--box", "30,20,40,40", "-o", "c.png")[0] == 0
    recipe = f"{command[0]}.toml"
    code, _, told = run(command, *more, "--recipe", recipe)
    assert code == 2
    said = more[0] if more[0].startswith("-") else "PICTURE"
    assert f"--recipe and {said} together" in " ".join(told.split())
    assert run(command, "--recipe", recipe, "-o", "n.png", "--again", "--json")[0] == 0


def test_a_recipe_that_a_changed_picture_no_longer_fits_says_so(desk: Path) -> None:
    assert run("cut", "page", "--box", "30,20,40,40", "--into", "tiny", "--name", "disc")[0] == 0
    Image.new("RGB", (120, 80), (200, 190, 170)).save(desk / "pictures/page.png")
    before = (desk / "cutouts/disc.png").read_bytes()
    for words in (
        ("cut", "--recipe", desk / "cutouts/disc.toml"),
        ("mend", "page", "--piece", desk / "cutouts/disc.toml", "--into", desk, "--name", "clean"),
    ):
        code, _, told = run(*words)
        assert code == 2
        assert "has changed since this was cut from it" in " ".join(told.split())
    assert (desk / "cutouts/disc.png").read_bytes() == before
    assert not (desk / "cutouts/clean.png").exists()
