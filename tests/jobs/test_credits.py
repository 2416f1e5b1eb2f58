"""Only what is seen and heard is credited; enlarging past the detail is told where it happens."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from tests.halftone import photo
from tests.tinyfilm import write_tiny

from splitpin.film.credits import Credit, roll_of
from splitpin.jobs.check import check
from splitpin.jobs.credits import credits_of
from splitpin.measure.affine import move, stretch, turn
from splitpin.measure.licence import KNOWN, in_words
from splitpin.measure.table import Stage
from splitpin.sheet.seen import within


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "film")


def change(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def test_what_is_seen_and_heard_is_credited_with_its_scenes(root: Path) -> None:
    found = credits_of(root)
    assert [(c.kind, c.name, c.scenes) for c in found.credits] == [
        ("picture", "found", ("010-hill",)),
        ("sound", "hum.wav", ()),
        ("sound", "tick.wav", ("010-hill",)),
    ]
    assert found.unresolved == ()
    assert found.own == ("head", "hill")
    assert found.record.startswith("Tiny\n\nPictures\nfound: 1912-05-31. drawn for the tests. CC0-1.0\n")
    assert found.roll == (
        "Tiny\n\n"
        "Pictures, music and sounds, given to the public domain (CC0)\n1912-05-31 (drawn for the tests)\n"
    )


def test_an_audience_reads_people_and_works_without_names_of_files_or_codes(root: Path) -> None:
    change(
        root / "film.toml",
        "[outlets.web]",
        '[[people]]\ndid = "A film by"\nnames = ["Ada", "Ben"]\n\n[outlets.web]',
    )
    change(
        root / "pictures/found.toml",
        'licence = "CC0-1.0"',
        'licence = "CC-BY-SA-4.0"\nby = "Cleo"\ntitle = "A ball"',
    )
    change(
        root / "sounds/hum.toml",
        'source = "drawn',
        'source = "made by calculation: splitpin effect hum, drawn',
    )
    change(root / "sounds/hum.toml", "date = 1912-05-31\n", "")
    (root / "sounds/tick.wav.toml").unlink()
    assert credits_of(root).roll == (
        "Tiny\n\n"
        "A film by\nAda\nBen\n\n"
        "Pictures, under Creative Commons Attribution-ShareAlike 4.0 "
        "(creativecommons.org/licenses/by-sa/4.0), changed for this film\n"
        "Cleo: A ball, 1912-05-31 (drawn for the tests)\n\n"
        "Music, given to the public domain (CC0)\nmade by calculation\n\n"
        "Sounds, terms not known\nnot known\n"
    )


@pytest.mark.parametrize("licence", KNOWN)
def test_every_licence_has_words(licence: str) -> None:
    words = in_words(licence)
    # some are called by nothing but their identifier
    assert licence not in words or licence in ("0BSD", "BSD-2-Clause", "BSD-3-Clause", "ISC", "MIT")


def test_works_of_one_person_share_a_line_and_terms_share_a_heading() -> None:
    def credit(name: str, by: str, title: str, licence: str) -> Credit:
        return Credit("picture", name, (), "", by, "", licence, (), title)

    listed = [
        credit("a", "Cleo", "A ball", "MIT"),
        credit("b", "", "A cat", "MIT"),
        credit("c", "Ada", "", "LicenseRef-own-work"),
        credit("d", "Cleo", "A box", "MIT"),
        credit("e", "Cleo", "A box", "MIT"),
    ]
    assert roll_of("T", [], listed) == (
        "T\n\nPictures, own work\nAda\n\nPictures, under the MIT licence\nCleo: A ball; A box\nA cat\n"
    )


def test_a_picture_that_never_comes_into_view_is_not_credited(root: Path) -> None:
    change(root / "scenes/010-hill.toml", "x = -20", "x = -9000")
    change(root / "scenes/010-hill.toml", "set = { x = 4, ", "set = { ")
    assert [c.name for c in credits_of(root).credits] == ["hum.wav", "tick.wav"]


def test_what_is_not_known_is_unresolved(root: Path) -> None:
    (root / "sounds/hum.toml").unlink()
    change(root / "pictures/found.toml", 'licence = "CC0-1.0"', 'licence = "CC-BY-ND-4.0"')
    found = credits_of(root)
    assert {c.name: len(c.unresolved) for c in found.unresolved} == {"found": 2, "hum.wav": 1}


@given(st.floats(-300, 300), st.floats(-300, 300), st.floats(-180, 180), st.floats(0.2, 4))
def test_a_picture_is_in_view_when_a_pixel_of_it_is(x: float, y: float, angle: float, size: float) -> None:
    stage = Stage(64, 36, 128.0)
    matrix = move(-10, -5).then(stretch(size)).then(turn(angle)).then(move(x, y))
    points = [matrix.apply(i, j) for i in range(21) for j in range(11)]
    if any(0 < px < 64 and 0 < py < 36 for px, py in points):
        assert within(matrix, 20, 10, stage)
    if abs(x - 32) > 32 + 12 * size or abs(y - 18) > 18 + 12 * size:
        assert not within(matrix, 20, 10, stage)


def test_a_piece_enlarged_past_its_pixels_is_told_of_at_its_scene_and_first_frame(root: Path) -> None:
    assert check(root).warnings == ()
    change(root / "cutouts/head.toml", "width_mm = 12", "width_mm = 60")
    (warning,) = check(root).warnings
    assert warning.file == "scenes/010-hill.toml"
    assert "head is enlarged 5.0 times" in warning.found
    assert "frame 0" in warning.found


def test_a_soft_picture_is_told_of_although_it_has_the_pixels(root: Path) -> None:
    cat = Image.fromarray(photo("chelsea")).crop((100, 50, 260, 210))
    change(root / "cutouts/ball.toml", "width_mm = 20", "width_mm = 320")
    cat.save(root / "cutouts/ball.png")
    assert check(root).warnings == ()
    cat.resize((40, 40), Image.Resampling.BOX).resize((160, 160), Image.Resampling.BICUBIC).save(
        root / "cutouts/ball.png"
    )
    assert any("ball is enlarged" in w.found and "no sharper" in w.found for w in check(root).warnings)
    change(root / "film.toml", "field_mm = 128.0", "field_mm = 128.0\nenlarge = 9")
    assert check(root).warnings == ()
