"""The scale of what is printed, by a reader of PDF (pdfplumber) and one that draws it (PDFium)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from tests.paper.pdf import raster, read
from tests.tinyfilm import write_tiny

from splitpin.folder.mistake import FolderError
from splitpin.jobs.kit import kit
from splitpin.paper.proof import rules

WITHIN = 0.05
"""Millimetres."""


@pytest.mark.parametrize(
    ("paper", "width", "height"),
    # ISO 216 and US sizes in points, 1 pt = 1/72 in
    [("A4", 595.276, 841.890), ("A3", 841.890, 1190.551), ("Letter", 612, 792), ("tabloid", 792, 1224)],
)
def test_pages_have_the_size_of_their_paper(tmp_path: Path, paper: str, width: float, height: float) -> None:
    done = kit(write_tiny(tmp_path / "tiny"), paper=paper, only=[])
    [page] = read(done.file or Path())
    assert page.width == pytest.approx(width * 25.4 / 72, abs=0.001)
    assert page.height == pytest.approx(height * 25.4 / 72, abs=0.001)


@pytest.mark.parametrize("measured", [100.0, 97.0, 101.5])
def test_rules_measure_a_hundred_millimetres_on_the_printer_that_was_measured(
    tmp_path: Path, measured: float
) -> None:
    done = kit(write_tiny(tmp_path / "tiny"), only=[], measured=measured)
    [page] = read(done.file or Path())
    # what the printer makes of the page
    lengths = [
        np.hypot(*np.subtract(b, a)) * measured / 100 for a, b in (p for p in page.lines if len(p) == 2)
    ]
    assert sum(abs(length - 100) <= WITHIN for length in lengths) == 2
    # it still lies on the paper
    assert page.width == pytest.approx(210, abs=0.01)
    assert all(0 < x < 210 and 0 < y < 297 for line in page.lines for x, y in line)


def test_the_card_is_an_id_1_card(tmp_path: Path) -> None:
    # ISO/IEC 7810 ID-1: 85.60 × 53.98 mm
    done = kit(write_tiny(tmp_path / "tiny"), only=[])
    [page] = read(done.file or Path())
    [card] = page.curves
    xs, ys = zip(*card, strict=True)
    assert max(xs) - min(xs) == pytest.approx(85.60, abs=WITHIN)
    assert max(ys) - min(ys) == pytest.approx(53.98, abs=WITHIN)


def test_the_rules_are_drawn_where_they_are_said_to_lie(tmp_path: Path) -> None:
    done = kit(write_tiny(tmp_path / "tiny"), only=[])
    dark = raster(done.file or Path(), 0) < 128
    px = 600 / 25.4
    (x0, y), (x1, _) = rules()[0]
    row = dark.shape[0] - round(y * px)
    [across] = np.nonzero(dark[row, : round((x1 + 1) * px)])
    assert (across[-1] + 1 - across[0]) / px == pytest.approx(100, abs=0.25)  # and the width of its end ticks
    assert across[0] / px == pytest.approx(x0, abs=0.15)


def test_type_is_embedded_and_the_same_film_makes_the_same_bytes(tmp_path: Path) -> None:
    film = write_tiny(tmp_path / "tiny")
    first = (kit(film, file=tmp_path / "a.pdf").file or Path()).read_bytes()
    assert b"/FontFile2" in first
    assert (kit(film, file=tmp_path / "b.pdf").file or Path()).read_bytes() == first


@pytest.mark.parametrize(
    ("wrong", "found"),
    [({"paper": "B5"}, "'B5'"), ({"only": ["stripes"]}, "'stripes'"), ({"measured": 47.0}, "47 mm")],
)
def test_what_is_none_is_refused(tmp_path: Path, wrong: dict[str, object], found: str) -> None:
    with pytest.raises(FolderError) as refused:
        kit(write_tiny(tmp_path / "tiny"), **wrong)  # type: ignore[arg-type]
    assert found in refused.value.found
