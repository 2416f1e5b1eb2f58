"""Exposure sheets and board pages say what the rows and panels say, read back from the PDF."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pdfplumber
import pytest
from tests.paper.pdf import MM, read
from tests.paper.randomfilm import write_random
from tests.tinyfilm import write_tiny

from splitpin.jobs.kit import kit, lay_out
from splitpin.jobs.new import new
from splitpin.jobs.ready import ready
from splitpin.paper.exposure_sheets import frames_on
from splitpin.paper.page import BOLD, LINE, Page, Print, Stroke, Words
from splitpin.sheet.words import cells


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("sheets") / "exact-change"
    new(root, example=True)
    return root


def words_of(pages: tuple[Page, ...], part: str, scene: str) -> str:
    texts = [
        mark.text
        for page in pages
        if page.part == part and f" {scene}," in page.title
        for mark in page.marks
        if isinstance(mark, Words)
    ]
    return " ".join(texts)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_number_of_the_rows_stands_on_the_sheets(example: Path, paper: str) -> None:
    film = ready(example)
    pages = lay_out(example, paper=paper, only=["sheets"]).pages
    for sheet in film.sheets:
        printed = words_of(pages, "sheets", sheet.scene)
        cast = film.folder.scenes[sheet.scene].cast
        for row, told in zip(sheet.rows, cells(sheet), strict=True):
            last = row.frame + row.frames - 1
            assert f"{row.frame}" if row.frames == 1 else f"{row.frame}–{last}" in printed
            for who, text in told.items():
                if who in cast:
                    assert set(text.split()) <= set(printed.replace("·", " ").split()), (who, text)
        for sound in {name for row in sheet.rows for name in row.sounds}:
            assert sound in printed


def test_an_independent_reader_finds_the_same_numbers(tmp_path: Path) -> None:
    root = write_random(tmp_path / "film", 4, 7)
    done = kit(root, only=["sheets"], file=tmp_path / "kit.pdf")
    pages = read(done.file or Path())
    for sheet in ready(root).sheets:
        found = " ".join(page.words for page in pages if f"Exposure sheet {sheet.scene}," in page.words)
        numbers = set(re.findall(r"-?\d+(?:\.\d+)?", found))
        for told in cells(sheet):
            for text in (told.get("cat", ""), told.get("ball", "")):
                assert set(re.findall(r"-?\d+(?:\.\d+)?", text)) <= numbers, text


def test_a_heavy_rule_lies_where_each_second_begins_and_a_lighter_one_at_each_half(tmp_path: Path) -> None:
    root = write_random(tmp_path / "film", 1, 3)
    laid = lay_out(root, only=["sheets"])
    page = next(page for page in laid.pages if page.part == "sheets")
    level = [m for m in page.marks if isinstance(m, Stroke) and m.points[0][1] == m.points[1][1]]
    top, foot = (end(m.points[0][1] for m in level if m.width == BOLD) for end in (max, min))
    high = (top - foot) / 96
    heavy = sorted({round((top - m.points[0][1]) / high, 6) for m in level if m.width == BOLD})
    half = {round((top - m.points[0][1]) / high, 6) for m in level if m.width == LINE}
    assert heavy == [0, 24, 48, 72, 96]
    assert sorted(n for n in half if 0 < n < 96) == [12, 36, 60, 84]
    done = kit(root, only=["sheets"], file=tmp_path / "kit.pdf")
    with pdfplumber.open(done.file or Path()) as pages:
        low = [
            float(line["y0"]) * MM
            for line in pages.pages[1].lines
            if abs(float(line["linewidth"]) * MM - BOLD) < 0.01
        ]
    for n in heavy:
        assert min(abs(y - (top - n * high)) for y in low) <= 0.05


def test_the_wave_is_as_wide_as_the_peaks(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    laid = lay_out(root, only=["sheets"])
    film = ready(root)
    from splitpin.jobs.peaks import peaks_of
    from splitpin.jobs.shop import Shop

    peaks = peaks_of(Shop(film))
    for sheet in film.sheets:
        page = next(p for p in laid.pages if f" {sheet.scene}," in p.title)
        wave = [m for m in page.marks if isinstance(m, Stroke) and m.fill is not None]
        if not any(peaks[sheet.scene]):
            assert wave == []
            continue
        right = wave[0].points[: len(wave[0].points) // 2]
        middle = (right[0][0] + wave[0].points[-1][0]) / 2
        widths = [x - middle for x, _ in right[::2]]
        most = max(zip(peaks[sheet.scene], widths, strict=True))
        for peak, wide in zip(peaks[sheet.scene], widths, strict=True):
            assert wide == pytest.approx(peak * most[1] / most[0], abs=1e-6)


@pytest.mark.parametrize(
    ("rate", "frames"), [(Fraction(24), 96), (Fraction(25), 100), (Fraction(30), 90), (Fraction(240), 100)]
)
def test_a_page_holds_whole_seconds_where_that_can_be(rate: Fraction, frames: int) -> None:
    assert frames_on(242.0, rate) == frames


def test_a_scene_of_three_thousand_exposures_and_one_in_which_nothing_moves(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    scene = root / "scenes/020-sea.toml"
    text = re.sub(
        r"frames = \d+|seconds = [\d.]+", "frames = 6000", scene.read_text(encoding="utf-8"), count=1
    )
    scene.write_text(text, encoding="utf-8")
    laid = lay_out(root, only=["sheets"])
    long = [page for page in laid.pages if " 020-sea," in page.title]
    assert len(long) >= 6000 / 96
    assert f"frames 5952 to 5999 ({len(long)} of {len(long)})" in long[-1].title


def test_every_panel_stands_on_the_board_once_with_its_words_and_seconds(example: Path) -> None:
    film = ready(example)
    pages = [page for page in lay_out(example, only=["board"]).pages if page.part == "board"]
    printed = " ".join(mark.text for page in pages for mark in page.marks if isinstance(mark, Words))
    number = 0
    for sheet in film.sheets:
        panels = {panel.name: panel for panel in film.folder.scenes[sheet.scene].panels}
        for name, _, frames in sheet.panels:
            number += 1
            assert printed.count(f"{number}  {sheet.scene} · {name}") == 1
            assert f"{frames / 24:.2f} s · {frames} frames" in printed
            for text in (panels[name].action, panels[name].sound):
                assert (
                    " ".join(text.split()) in printed.replace("sound ", "").replace("action ", "") or not text
                )
    pictures = [mark for page in pages for mark in page.marks if isinstance(mark, Print)]
    assert len(pictures) == number


def test_board_pages_are_drawn_with_their_pictures(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    done = kit(root, only=["board"], paper="Letter", file=tmp_path / "board.pdf")
    with pdfplumber.open(done.file or Path()) as pages:
        images = [image for page in pages.pages for image in page.images]
    assert images
    shape = ready(root).folder.film.stage
    for image in images:
        wide, tall = float(image["x1"] - image["x0"]), float(image["bottom"] - image["top"])
        assert wide / tall == pytest.approx(shape.width / shape.height, rel=0.01)
