"""What is asked of ``splitpin cut`` is done, or refused in plain words: nothing is passed over."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from PIL import Image, ImageDraw
from tests.command.test_mend_command import page, run
from tests.tinyfilm import write_tiny

BOX = ("--box", "30,20,40,40")
"""Around the disc of the page."""


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A picture, and a film that has it too."""
    monkeypatch.chdir(tmp_path)
    root = write_tiny(tmp_path / "tiny")
    page().save("page.png")
    page().save(root / "pictures/page.png")
    return root


def width_mm(document: Path) -> float:
    return float(tomllib.loads(document.read_text(encoding="utf-8"))["width_mm"])


def test_ink_goes_by_the_ppi_that_is_taken_where_none_is_known(desk: Path) -> None:
    code, said, _ = run("cut", "page.png", *BOX, "--ink", "0.3", "-o", "disc.png")
    assert code == 0
    assert "no ppi known: 300 taken" in " ".join(said.split())


def test_points_for_a_knife_ask_for_its_edge(desk: Path) -> None:
    Path("k.json").write_text("[[50, 25], [65, 40], [50, 55], [35, 40]]")
    assert run("cut", "page.png", "--knife", "k.json", "-o", "disc.png")[0] == 0
    assert tomllib.loads(Path("disc.toml").read_text())["recipe"]["edge"] == "knife"
    code, _, told = run("cut", "page.png", "--knife", "k.json", "--edge", "soft", *BOX, "-o", "other.png")
    assert code == 2
    assert "soft, and --knife" in told
    assert not Path("other.png").exists()


def test_a_ppi_changed_in_a_recipe_changes_the_size_on_the_table(desk: Path) -> None:
    assert run("cut", "page", *BOX, "--into", "tiny", "--name", "disc")[0] == 0
    document = desk / "cutouts/disc.toml"
    before = width_mm(document)
    # A piece made larger on the table by hand stays as much larger.
    words = document.read_text(encoding="utf-8").replace(f"width_mm = {before}", f"width_mm = {3 * before}")
    document.write_text(words + "ppi = 600\n", encoding="utf-8")
    for _ in range(2):
        said = json.loads(run("cut", "--recipe", document, "--json")[1])
        assert width_mm(document) == pytest.approx(3 * before / 2)
    assert said["ppi_assumed"] is False


@pytest.mark.usefixtures("desk")
def test_what_became_a_hole_is_told_with_how_to_close_it() -> None:
    owl = Image.new("RGB", (300, 240), "#efe6d2")
    pen = ImageDraw.Draw(owl)
    pen.ellipse((50, 20, 250, 220), "#6d4a2f")
    owl.save("plain.png")
    for x in (110, 190):
        pen.ellipse((x - 25, 70, x + 25, 120), "#efe6d2")
    owl.save("owl.png")
    box = ("--box", "40,10,220,220")
    for edge in ("soft", "knife"):
        said = run("cut", "plain.png", *box, "--edge", edge, "-o", "without.png", "--again")[1]
        assert "hole" not in said
    assert "2 holes in it" in " ".join(run("cut", "owl.png", *box, "-o", "with.png")[1].split())
    Path("keep.json").write_text('[{"points": [[110, 95]], "radius": 27}]')
    closed = run("cut", "owl.png", *box, "--keep", "keep.json", "-o", "one.png", "--json")[1]
    assert json.loads(closed)["holes"] == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), ["no loop and no box"]),
        (("--loop", "empty.json"), ["empty.json", "an empty list"]),
        (("--box", "500,500,20,20"), ["from 500, 500 to 520, 520", "120 × 80 pixels"]),
    ],
)
def test_a_loop_that_is_none_is_told_with_what_was_found(
    words: tuple[str, ...], said: list[str], desk: Path
) -> None:
    Path("empty.json").write_text("[]")
    code, _, told = run("cut", "page.png", *words, "-o", "disc.png")
    assert code == 2
    assert all(part in " ".join(told.split()) for part in said)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--knife", "k.json", "--loop", "k.json"], "--knife found --loop beside it"),
        (["--knife", "k.json", *BOX, "--keep", "s.json"], "--knife found --box and --keep beside it"),
        (["--as-drawn", *BOX, "--drop", "s.json"], "--as-drawn found --drop beside it"),
        (["--as-drawn", *BOX, "--edge", "soft"], "--edge found soft, and --as-drawn"),
        (["--loop", "k.json", *BOX], "--loop and --box together"),
        (["--as-drawn"], "no loop and no box"),
    ],
)
def test_options_that_contradict_each_other_are_refused(desk: Path, options: list[str], said: str) -> None:
    Path("k.json").write_text("[[50, 25], [65, 40], [50, 55], [35, 40]]")
    Path("s.json").write_text('[{"points": [[50, 40]], "radius": 3}]')
    code, _, told = run("cut", "page.png", *options, "-o", "disc.png")
    assert code == 2
    assert said in " ".join(told.split())
    assert not Path("disc.png").exists()


def test_a_loop_cut_as_drawn_is_made_again_bit_for_bit(desk: Path) -> None:
    Path("k.json").write_text("[[50, 25], [65, 40], [50, 55], [35, 40]]")
    assert run("cut", "page.png", "--loop", "k.json", "--as-drawn", "-o", "disc.png")[0] == 0
    before = Path("disc.png").read_bytes()
    Path("disc.png").unlink()
    assert run("cut", "--recipe", "disc.toml")[0] == 0
    assert Path("disc.png").read_bytes() == before
