"""Day sheets agree with the hours, the pieces that are printed, and the rows."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from tests.paper.pdf import read
from tests.tinyfilm import write_tiny

from splitpin.jobs.hours import hours
from splitpin.jobs.kit import kit, lay_out
from splitpin.jobs.new import new
from splitpin.jobs.ready import ready
from splitpin.paper.page import Stroke, Words


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("days") / "exact-change"
    new(root, example=True)
    return root


def test_set_ups_stand_in_the_order_of_shooting_with_a_box_for_each_exposure(example: Path) -> None:
    pages = [page for page in lay_out(example, only=["days"]).pages if page.part == "days"]
    work = hours(example).work
    heads = [m.text for page in pages for m in page.marks if isinstance(m, Words) and m.size == 10]
    assert [head.split()[1] for head in heads] == [one.setup.name for one in work]
    boxes = [
        m for page in pages for m in page.marks
        if isinstance(m, Stroke) and m.closed and abs(m.points[1][0] - m.points[0][0] - 2.7) < 1e-6
    ]  # fmt: skip
    assert len(boxes) == sum(len(one.setup.rows) for one in work)


def test_the_pieces_are_those_that_lie_in_the_rows(example: Path) -> None:
    pages = [page for page in lay_out(example, only=["days"]).pages if page.part == "days"]
    said = " ".join(m.text for page in pages for m in page.marks if isinstance(m, Words))
    film = ready(example)
    for sheet in film.sheets:
        cast = film.folder.scenes[sheet.scene].cast
        for row in sheet.rows:
            for placed in row.placed:
                member = cast.get(placed.who)
                if member is not None and member.character:
                    assert placed.piece in said
                elif member is not None:
                    assert placed.cutout in said


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_an_independent_reader_finds_what_is_to_be_shot(tmp_path: Path, paper: str) -> None:
    root = write_tiny(tmp_path / "tiny")
    done = kit(root, only=["days"], paper=paper, file=tmp_path / "days.pdf")
    words = " ".join(page.words for page in read(done.file or Path()))
    for sheet in ready(root).sheets:
        assert sheet.scene in words
    exposures = sum(int(n) for n in re.findall(r"(\d+) exposures", words))
    assert exposures == sum(len(sheet.rows) for sheet in ready(root).sheets)


def test_three_thousand_exposures_stay_on_their_page(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    scene = root / "scenes/010-hill.toml"
    text = re.sub(
        r"frames = \d+|seconds = [\d.]+", "frames = 6000", scene.read_text(encoding="utf-8"), count=1
    )
    scene.write_text(text, encoding="utf-8")
    for page in lay_out(root, only=["days"]).pages:
        for mark in page.marks:
            if isinstance(mark, Stroke):
                assert all(0 <= y <= page.stock.height and 0 <= x <= page.stock.width for x, y in mark.points)
