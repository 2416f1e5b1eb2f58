"""Titles and credits are scenes of words that can be read; check tells of those that cannot."""

from __future__ import annotations

import tomllib
from itertools import pairwise
from pathlib import Path

import pytest
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.folder.mistake import FolderError
from splitpin.jobs.check import check
from splitpin.jobs.credits import credits_of
from splitpin.jobs.letter import letter, lettering
from splitpin.jobs.new import new
from splitpin.jobs.ready import RefusedError, ready
from splitpin.jobs.recut import recut
from splitpin.jobs.title import credits_scene, title


@pytest.fixture
def root(tmp_path: Path) -> Path:
    new(tmp_path / "film")
    return tmp_path / "film"


def scenes(root: Path) -> list[str]:
    found: list[str] = tomllib.loads((root / "film.toml").read_text(encoding="utf-8"))["scenes"]
    return found


def test_a_title_stands_as_long_as_it_is_read_and_clear_of_the_edges(root: Path) -> None:
    text = "Thirty-four letters in this title"  # 33 letters: 33 / 17 + 2 s = 3.94 s, 95 frames
    made = title(root, "opening", lettering(text=text))
    assert scenes(root) == ["opening", "010-first"]
    assert ready(root).sheets[0].frames == 95
    assert made.seconds == pytest.approx(95 / 24)
    assert check(root)[:2] == ((), ())


def test_a_long_title_is_set_smaller_until_it_fits(root: Path) -> None:
    title(root, "long", lettering(text="All the words that a title should not have. " * 12), place="last")
    assert scenes(root) == ["010-first", "long"]
    assert check(root)[:2] == ((), ())


def test_check_tells_of_a_title_that_is_gone_too_soon_or_too_near_the_edge(root: Path) -> None:
    title(root, "opening", lettering(text="Exact Change"), seconds=1.5)
    (gone,) = check(root).warnings
    assert (gone.file, gone.line) == ("scenes/opening.toml", 9)
    assert gone.found == "“Exact Change” can be seen for 1.5 s"
    # 12 / 17 + 2 = 2.71 s
    assert gone.remedy.startswith("show it 1.3 s longer")
    scene = root / "scenes/opening.toml"
    scene.write_text(scene.read_text().replace("y = 4.5", "y = 104.5\nx = 20.0"))
    assert len(check(root).warnings) == 2
    # a sign in passing need not be read
    recipe = root / "cutouts/opening.toml"
    recipe.write_text(recipe.read_text() + "read = false\n")
    assert check(root).warnings == ()


def test_words_are_made_again_bit_for_bit_and_follow_their_recipe(root: Path) -> None:
    made = letter(root, "sign", lettering(text="OPEN", paper="#f4e9c8", edge="torn", seed=4))
    before = made.picture.read_bytes()
    made.picture.unlink()
    recut(made.recipe)
    assert made.picture.read_bytes() == before
    made.recipe.write_text(made.recipe.read_text().replace("OPEN", "OPENED"))
    recut(made.recipe)
    wide = tomllib.loads(made.recipe.read_text())["width_mm"]
    assert wide > made.width_mm + 10
    with pytest.raises(FolderError):
        letter(root, "sign", lettering(text="OPEN"))


def test_credits_come_from_the_ledger_and_refuse_what_is_unresolved(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    (root / "sounds/hum.toml").unlink()
    with pytest.raises(RefusedError, match="hum"):
        credits_scene(root, "end", lettering(text="credits"))
    assert scenes(root) == ["010-hill", "020-sea"]
    credits_scene(root, "end", lettering(text="credits"), marked=True)
    assert scenes(root)[-1] == "end"
    text = "\n".join(
        tomllib.loads(file.read_text(encoding="utf-8"))["recipe"]["text"]
        for file in sorted((root / "cutouts").glob("end*.toml"))
    )
    assert text.split() == credits_of(root).roll.split()
    assert "not known" in text


def test_a_roll_goes_whole_pixels_a_frame_and_in_the_end_all_of_it_has_gone_by(root: Path) -> None:
    credits_scene(root, "end", lettering(text="credits"), roll=True)
    found = ready(root)
    sheet = found.sheets[-1]
    pixel = found.folder.film.field_mm / found.folder.film.stage.width
    ys = [placed.matrix.f for row in sheet.rows for placed in row.placed]
    steps = {round((b - a) / pixel, 3) for a, b in pairwise(ys)}
    assert len(steps) == 1
    assert float(next(iter(steps))).is_integer()
    # a line takes 8 s or more from edge to edge
    assert 1080 / max(steps) / 24 >= 8
    assert check(root)[:2] == ((), ())


def test_a_scene_of_credits_is_called_so_and_one_of_words_by_its_words(root: Path) -> None:
    for name, roll in (("cards", False), ("roll", True)):
        made = credits_scene(root, name, lettering(text="credits"), roll=roll, marked=True)
        assert tomllib.loads(made.scene.read_text(encoding="utf-8"))["title"] == "Credits"
    made = title(root, "opening", lettering(text="The Cat\nand the Coin"))
    assert tomllib.loads(made.scene.read_text(encoding="utf-8"))["title"] == "The Cat and the Coin"
    long = title(root, "long", lettering(text="All the words that there are. " * 12))
    called = tomllib.loads(long.scene.read_text(encoding="utf-8"))["title"]
    assert len(called) <= 120
    assert called.endswith(" …")


def test_the_commands_say_what_they_made_and_refuse_nonsense(root: Path) -> None:
    def run(*words: str) -> tuple[int, str]:
        done = CliRunner().invoke(build(), [*words, "--json"])
        return done.exit_code, done.output

    assert '"seconds": 3.0' in run("title", str(root), "opening", "--text", "Hi", "--seconds", "3")[1]
    code, told = run("letter", str(root), "odd", "--text", "漢")
    assert code == 0
    assert "U+6F22" in told
    assert "--colour" in run("letter", str(root), "bad", "--text", "A", "--colour", "red")[1]
    assert "fonts/none.ttf" in run("letter", str(root), "bad", "--text", "A", "--font", "fonts/none.ttf")[1]
    assert "neither" in run("title", str(root), "x")[1]
    assert "one of them" in run("title", str(root), "x", "--text", "A", "--first", "--last")[1]


def test_letters_that_a_card_of_words_lacks_are_told_again_by_a_check_and_when_the_film_is_made(
    root: Path,
) -> None:
    made = title(root, "opening", lettering(text="森 is a wood"))
    told = check(root).warnings
    assert told == made.warnings
    assert "森 (U+68EE)" in told[0].found
    assert [w.found for w in ready(root).warnings] == [told[0].found]
    assert ready(root, [name for name in scenes(root) if name != "opening"]).warnings == ()


@pytest.mark.parametrize("text", ["", "   ", "\\n\\n"])
def test_a_title_without_words_is_refused_in_one_message_and_nothing_is_written(
    text: str, tmp_path: Path
) -> None:
    root = write_tiny(tmp_path / "tiny")
    before = sorted(root.rglob("*"))
    done = CliRunner().invoke(build(), ["title", str(root), "new", "--text", text])
    assert done.exit_code == 2
    assert " ".join(done.stderr.split()) == (
        '--text found no words expected the words of the title do write --text "Words"'
    )
    assert sorted(root.rglob("*")) == before


@pytest.mark.parametrize("option", ["--roll", "--marked"])
def test_what_is_of_the_credits_alone_is_refused_beside_words(option: str, tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    done = CliRunner().invoke(build(), ["title", str(root), "new", "--text", "Hello", option])
    assert done.exit_code == 2
    assert f"{option} without --credits" in " ".join(done.stderr.split())
    assert not (root / "scenes/new.toml").exists()
