"""The command that mends."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build


def run(*words: str | Path) -> tuple[int, str, str]:
    result = CliRunner(env={"COLUMNS": "100"}).invoke(build(), [str(w) for w in words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.stdout, result.stderr


def page() -> Image.Image:
    """A dark disc on rough paper, 120 × 80."""
    rng = np.random.default_rng(2)
    pixels = rng.integers(180, 200, (80, 120, 3)).astype(np.uint8)
    y, x = np.mgrid[:80, :120]
    pixels[np.hypot(y - 40, x - 50) < 14] = (20, 40, 90)
    return Image.fromarray(pixels)


def disc() -> Image.Image:
    y, x = np.mgrid[:80, :120]
    return Image.fromarray(np.where(np.hypot(y - 40, x - 50) < 17, 255, 0).astype(np.uint8))


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    page().save(tmp_path / "page.png")
    disc().save(tmp_path / "hole.png")
    return tmp_path / "page.png"


def test_a_hole_is_filled_and_the_rest_stays(picture: Path, tmp_path: Path) -> None:
    clean = tmp_path / "clean.png"
    code, said, _ = run("mend", picture, "--hole", tmp_path / "hole.png", "-o", clean, "--json")
    assert code == 0
    done = json.loads(said)
    before, after = np.asarray(Image.open(picture)), np.asarray(Image.open(clean))
    hole = np.asarray(disc()) > 127
    assert done["filled"] == hole.sum()
    assert done["size"] == [120, 80]
    assert np.array_equal(after[~hole], before[~hole])
    assert after[hole].min() > 150


def test_a_patch_is_printed_at_true_size(picture: Path, tmp_path: Path) -> None:
    code, said, _ = run(
        "mend", picture, "--hole", tmp_path / "hole.png", "-o", tmp_path / "clean.png",
        "--patch", tmp_path / "patch.png", "--ppi", "254", "--underlap", "1", "--json",
    )  # fmt: skip
    assert code == 0
    patch = Image.open(tmp_path / "patch.png")
    assert patch.info["dpi"] == pytest.approx((254, 254), abs=0.02)
    # The disc is 33 pixels across; 1 mm is 10 pixels at 254 ppi.
    assert json.loads(said)["patch_box"] == [24, 14, 53, 53]
    assert json.loads(said)["patch_mm"] == [5.3, 5.3]
    assert patch.getpixel((0, 0)) == (0, 0, 0, 0)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "--hole MASK.png or --piece RECIPE.toml"),
        (["--hole", "small.png"], "30 × 20 pixels"),
        (["--hole", "all.png"], "some picture left over"),
        (["--hole", "none-there.png"], "no such file"),
        (["--hole", "hole.png", "--patch", "patch.png"], "give --ppi"),
    ],
)
def test_what_cannot_be_mended_is_said_clearly(
    picture: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Image.new("L", (30, 20), 255).save("small.png")
    Image.new("L", (120, 80), 255).save("all.png")
    code, _, told = run("mend", picture, *words, "-o", "clean.png")
    assert code == 2
    assert said in told
    assert "Traceback" not in told


def test_a_mended_picture_of_a_film_is_made_again_from_its_recipe(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    (root / "pictures").mkdir(exist_ok=True)
    page().save(root / "pictures/page.png")
    (tmp_path / "loop.json").write_text("[[28, 18], [72, 18], [72, 62], [28, 62]]")
    assert run("cut", "page", "--loop", tmp_path / "loop.json", "--into", root, "--name", "disc")[0] == 0
    code, _, told = run(
        "mend", "page", "--piece", root / "cutouts/disc.toml", "--into", root, "--name", "wall", "--seed", "3"
    )
    assert code == 0, told
    made = root / "cutouts/wall.png"
    first = made.read_bytes()
    assert np.asarray(Image.open(made))[30:50, 40:60].min() > 150
    made.write_bytes(b"")
    page().resize((4, 4)).save(made)
    assert run("mend", "--recipe", root / "cutouts/wall.toml")[0] == 0
    assert made.read_bytes() == first
    assert run("check", root)[0] == 0


def test_a_drawn_hole_is_kept_with_the_film(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    (root / "pictures").mkdir(exist_ok=True)
    page().save(root / "pictures/page.png")
    disc().save(tmp_path / "hole.png")
    words = ("mend", "page", "--hole", tmp_path / "hole.png", "--into", root, "--name", "wall")
    assert run(*words)[0] == 0
    first = (root / "cutouts/wall.png").read_bytes()
    (tmp_path / "hole.png").unlink()
    assert run("mend", "--recipe", root / "cutouts/wall.toml")[0] == 0
    assert (root / "cutouts/wall.png").read_bytes() == first
    assert "a cut-out of that name" in run(*words)[2]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--hole", "nope.png"], "nope.png found no such file expected a picture, white where"),
        (["--piece", "nope.toml"], "nope.toml found no such file expected the document of a cut-out"),
        (["--piece", "disc.png"], "disc.png found no document of a cut-out"),
        (["--piece", "disc.png"], "do name disc.toml, which is beside it"),
        (["--hole", "black.png"], "no hole: its lightest pixel is 0 of 255"),
    ],
)
def test_what_says_of_no_hole_is_told_in_words_that_help(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: list[str], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    page().save("page.png")
    Image.new("L", page().size).save("black.png")
    assert run("cut", "page.png", "--box", "30,20,40,40", "-o", "disc.png")[0] == 0
    code, _, told = run("mend", "page.png", *options, "-o", "clean.png")
    assert code == 2
    assert said in " ".join(told.split())
    assert not Path("clean.png").exists()
