"""What a plotter cuts lies where the page is printed; backgrounds are guides, or tiles at true size."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree as Xml

import numpy as np
import pytest
from shapely import Polygon, unary_union
from tests.paper.pdf import read
from tests.tinyfilm import write_tiny

from splitpin.folder.mistake import FolderError
from splitpin.jobs.kit import kit, lay_out
from splitpin.paper.page import Print

SVG = "{http://www.w3.org/2000/svg}"


def layers(file: Path) -> dict[str, list[Xml.Element]]:
    root = Xml.parse(file).getroot()  # noqa: S314  (our own file)
    return {group.get("id", ""): list(group) for group in root.iter(f"{SVG}g")}


def points(element: Xml.Element) -> list[tuple[float, float]]:
    """Those that a path runs through: of a curve its end, which is its third."""
    found = []
    for _, said in re.findall(r"([MLC])([^MLCZ]*)", element.get("d", "")):
        numbers = [float(n) for n in said.split()]
        found.append((numbers[-2], numbers[-1]))
    return found


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_cut_lines_and_marks_lie_on_those_of_the_printed_page(tmp_path: Path, paper: str) -> None:
    root = write_tiny(tmp_path / "tiny")
    done = kit(root, paper=paper, only=["pieces"], file=tmp_path / "kit.pdf", plotter=True)
    pages = [page for page in read(done.file or Path()) if page.words.startswith("Pieces")]
    assert len(done.plotter) == len(pages) > 0
    for file, page in zip(done.plotter, pages, strict=True):
        svg = Xml.parse(file).getroot()  # noqa: S314
        assert float(svg.get("width", "").removesuffix("mm")) == pytest.approx(page.width, abs=0.01)
        assert [float(n) for n in svg.get("viewBox", "").split()][2:] == pytest.approx(
            [page.width, page.height], abs=0.01
        )
        found = layers(file)
        assert list(found) == ["register", "score", "cut"]
        printed = np.array([point for curve in page.curves for point in curve])
        for one in found["cut"]:
            for x, y in points(one):
                apart = np.hypot(*(printed - (x, page.height - y)).T)
                assert apart.min() <= 0.05, (file.name, x, y)
        rings = [one for one in found["register"] if one.tag == f"{SVG}circle"]
        assert len(rings) == 3
        lines = np.array([point for line in page.lines for point in line])
        for one in found["register"]:
            for x, y in points(one):
                assert np.hypot(*(lines - (x, page.height - y)).T).min() <= 0.05


def test_a_plotter_has_nothing_to_do_without_pieces_and_writes_over_nothing(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    with pytest.raises(FolderError, match="--only pieces"):
        kit(root, only=["fans"], file=tmp_path / "a.pdf", plotter=True)
    assert not (tmp_path / "a.pdf").exists()
    (tmp_path / "b-cut-1.svg").write_text("mine", encoding="utf-8")
    with pytest.raises(FolderError, match=r"b-cut-1\.svg"):
        kit(root, only=["pieces"], file=tmp_path / "b.pdf", plotter=True)
    assert (tmp_path / "b-cut-1.svg").read_text(encoding="utf-8") == "mine"


def test_the_cost_of_paper_is_told_before_anything_is_printed(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    counted = kit(root, count=True)
    printed = kit(root, file=tmp_path / "kit.pdf")
    assert counted.file is None
    assert counted.cost == printed.cost
    sheets = [page for page in lay_out(root).pages if page.proof]
    assert counted.cost.card + counted.cost.paper == len(sheets)
    # ISO 216: sixteen sheets of A4 are a square metre
    assert counted.cost.square_metres == pytest.approx(len(sheets) / 16, rel=0.003)


@pytest.mark.parametrize("paper", ["A4", "Tabloid"])
def test_tiles_together_are_the_whole_background_at_its_true_size(tmp_path: Path, paper: str) -> None:
    root = write_tiny(tmp_path / "tiny")
    laid = lay_out(root, paper=paper, only=["backgrounds", "tiles"])
    guides = [page for page in laid.pages if page.part == "backgrounds"]
    sheets = [page for page in laid.pages if page.part == "tiles"]
    assert guides
    for guide in guides:
        name = next(mark.picture for mark in guide.marks if isinstance(mark, Print))
        parts = []
        for page in sheets:
            for mark in page.marks:
                if isinstance(mark, Print) and mark.picture == name:
                    back = mark.matrix.inverse()
                    parts += [Polygon([back.apply(*point) for point in ring]) for ring in mark.clip]
                    cutout = laid.ready.folder.cutouts[name.removeprefix("cutouts/").removesuffix(".png")]
                    assert mark.matrix.stretch == pytest.approx(cutout.mm_per_px, rel=1e-9)
        whole = unary_union(parts)
        left, top, right, low = whole.bounds
        assert (left, top) == pytest.approx((0, 0), abs=0.6)
        assert (right, low) == pytest.approx((cutout.width, cutout.height), abs=0.6)
        # no gap anywhere between them
        assert whole.geom_type == "Polygon"
        assert len(whole.interiors) == 0
