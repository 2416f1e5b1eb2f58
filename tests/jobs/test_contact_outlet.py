"""Contact sheets of a whole folder, read back."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest
from tests.tinyfilm import write_tiny

from splitpin.device.pictures import read_picture
from splitpin.jobs.make import make


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def change(root: Path, old: str, new: str) -> None:
    file = root / "film.toml"
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8", newline="\n")


def test_only_what_is_shown_is_drawn_and_only_once(tiny: Path) -> None:
    made = make(tiny, ["contact"], workers=1)
    assert made.files[0].name == "tiny-contact.pdf"
    assert made.outlets[0].told == "3 pictures, one for each panel, 1 page"
    assert made.counts.segments_made == 3
    before = made.files[0].read_bytes()
    again = make(tiny, ["contact"], workers=1)
    assert again.counts.segments_made == 0
    assert again.files[0].read_bytes() == before


def test_the_pages_say_what_is_seen_and_when_in_letters_that_travel_with_them(tiny: Path) -> None:
    change(tiny, 'title = "Tiny"', 'title = "Česká Ωmega"')
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext, a reader of PDF, is not installed (Debian's package poppler-utils)")
    [path] = make(tiny, ["contact"], workers=1).files
    text = subprocess.run(["pdftotext", path, "-"], capture_output=True, check=True).stdout.decode()
    for words in ("Česká Ωmega", "010-hill", "waits", "020-sea", "00:00:00:12", "0.25 s", "0.75 s"):
        assert words in text
    fonts = subprocess.run(["pdffonts", path], capture_output=True, check=True).stdout.decode()
    assert "DejaVuSans" in fonts
    assert "Helvetica" not in fonts


def test_a_picture_of_the_sheet_shows_the_frames_in_their_places(tiny: Path) -> None:
    """A shot frame of one colour is found where the third picture lies: in the middle of its box."""
    change(
        tiny,
        '[outlets.web]\neffort = "draft"',
        '[outlets.proof]\nkind = "contact"\nform = "png"\ncolumns = 3',
    )
    (tiny / "takes/020-sea/000000.png").write_bytes((tiny / "takes/020-sea/000003.png").read_bytes())
    [path] = make(tiny, workers=1).files
    sheet = read_picture(path)
    found = (sheet[..., :3] == (30, 30, 60)).all(axis=-1)
    rows, columns = found.any(axis=1).nonzero()[0], found.any(axis=0).nonzero()[0]
    assert columns.min() > sheet.shape[1] * 0.6
    assert found[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1].all()
