"""Sheets of pieces: as often as the rows need them, at true size, nothing over anything else."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
import rectpack
from shapely import MultiPolygon, Point, Polygon, STRtree, box, union_all
from tests.paper.pdf import MM
from tests.tinyfilm import write_tiny

from splitpin.jobs.kit import Laid, kit, lay_out
from splitpin.jobs.new import new
from splitpin.jobs.ready import ready
from splitpin.paper.page import Curves, Page, Print, Stroke
from splitpin.paper.pieces import CLEARANCE, room_for_pieces

NEAR = 0.02
"""mm: polygons of curves lie so far inside of them."""


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("pieces") / "exact-change"
    new(root, example=True)
    return root


@pytest.fixture(scope="module")
def laid(example: Path) -> Laid:
    return lay_out(example, paper="A4", only=["pieces"])


def fronts(laid: Laid) -> list[Page]:
    return [page for page in laid.pages if page.title.startswith("Pieces")]


def shape_of(mark: Curves | Stroke) -> MultiPolygon | Polygon:
    """What is cut out along a line: loops in loops are holes."""
    rings = [mark.points] if isinstance(mark, Stroke) else [flat(loop) for loop in mark.loops]
    found = Polygon()
    for ring in sorted((Polygon(r).buffer(0) for r in rings), key=lambda one: -one.area):
        found = found.symmetric_difference(ring)
    return found


def flat(loop: tuple[tuple[tuple[float, float], ...], ...]) -> list[tuple[float, float]]:
    t = np.linspace(0, 1, 13)[:-1, None]
    points: list[tuple[float, float]] = []
    for curve in loop:
        a, b, c, d = np.array(curve)
        here = (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d
        points += [(float(x), float(y)) for x, y in here]
    return points


def cut(page: Page) -> list[MultiPolygon | Polygon]:
    """What is cut out with each picture, islands and all."""
    leaves: list[list[MultiPolygon | Polygon]] = []
    for mark in page.marks:
        if isinstance(mark, Print):
            leaves.append([])
        elif isinstance(mark, Curves | Stroke) and mark.use == "cut":
            leaves[-1].append(shape_of(mark))
    found = []
    for shapes in leaves:
        leaf: MultiPolygon | Polygon = Polygon()
        for shape in sorted(shapes, key=lambda one: -one.area):
            leaf = leaf.symmetric_difference(shape)
        found.append(leaf)
    return found


def test_nothing_lies_on_anything_else_or_over_the_edge(laid: Laid) -> None:
    for page in fronts(laid):
        shapes = cut(page)
        assert shapes
        room = room_for_pieces(page.stock)
        inside = box(room.x, room.y, room.right, room.top).buffer(NEAR)
        assert all(inside.contains(shape) for shape in shapes), page.title
        tree = STRtree(shapes)
        for n, shape in enumerate(shapes):
            for other in tree.query(shape, predicate="dwithin", distance=CLEARANCE - NEAR):
                assert other == n, page.title


def test_each_piece_is_there_as_often_as_the_rows_lay_it_at_one_time(example: Path, laid: Laid) -> None:
    film = ready(example)
    most: Counter[str] = Counter()
    for sheet in film.sheets:
        for row in sheet.rows:
            most |= Counter(placed.cutout for placed in row.placed if placed.who != "background")
    printed = Counter(
        mark.picture.removeprefix("cutouts/").removesuffix(".png")
        for page in fronts(laid)
        for mark in page.marks
        if isinstance(mark, Print)
    )
    assert set(printed) == set(most)
    for cutout, needed in most.items():
        assert printed[cutout] >= needed, cutout


def test_small_things_have_two_spares(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    film = ready(root)
    most: Counter[str] = Counter()
    sizes: dict[str, float] = {}
    for sheet in film.sheets:
        for row in sheet.rows:
            most |= Counter(placed.cutout for placed in row.placed if placed.who != "background")
    pages = fronts(lay_out(root, paper="A4", only=["pieces"]))
    printed: Counter[str] = Counter()
    for page in pages:
        for mark, line in zip(
            [m for m in page.marks if isinstance(m, Print)],
            [m for m in page.marks if isinstance(m, Curves | Stroke) and m.use == "cut"],
            strict=True,
        ):
            name = mark.picture.removeprefix("cutouts/").removesuffix(".png")
            printed[name] += 1
            left, low, right, top = shape_of(line).bounds
            sizes[name] = max(right - left, top - low)
    for name, count in printed.items():
        if sizes[name] < 10.5:
            assert count >= most[name] + 2, name


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_pictures_are_printed_at_the_size_that_the_film_says(tmp_path: Path, paper: str) -> None:
    root = write_tiny(tmp_path / "tiny")
    laid = lay_out(root, paper=paper, only=["pieces"])
    done = kit(root, paper=paper, only=["pieces"], file=tmp_path / "kit.pdf")
    told = [(page, mark) for page in laid.pages for mark in page.marks if isinstance(mark, Print)]
    with pdfplumber.open(done.file or Path()) as pages:
        found = [image for page in pages.pages for image in page.images]
        high = [float(page.height) * MM for page in pages.pages for _ in page.images]
    assert len(found) == len(told)
    for image, height, (_, mark) in zip(found, high, told, strict=True):
        wide, tall = image["srcsize"]
        corners = [mark.matrix.apply(x, y) for x in (0, wide) for y in (0, tall)]
        xs, ys = zip(*corners, strict=True)
        assert abs(float(image["x0"]) * MM - min(xs)) <= 0.05
        assert abs(float(image["x1"]) * MM - max(xs)) <= 0.05
        assert abs(height - float(image["bottom"]) * MM - min(ys)) <= 0.05
        assert abs(height - float(image["top"]) * MM - max(ys)) <= 0.05


def test_backs_lie_behind_their_fronts_when_turned_over_the_long_edge(laid: Laid) -> None:
    backs = [page for page in laid.pages if page.title.startswith("Back of pieces")]
    for front, back in zip(fronts(laid), backs, strict=True):
        drawn = union_all([Polygon(m.points) for m in back.marks if isinstance(m, Stroke) and m.closed])
        for shape in cut(front):
            inside = shape.representative_point()
            assert drawn.contains(Point(front.stock.width - inside.x, inside.y)), front.title


def test_paper_is_used_better_than_by_rows_of_boxes(laid: Laid) -> None:
    """Against a packer of boxes (rectpack's skyline) with the same pieces at the same turns."""
    pages = fronts(laid)
    room = room_for_pieces(pages[0].stock)
    shapes = [shape for page in pages for shape in cut(page)]
    packer = rectpack.newPacker(rotation=True, pack_algo=rectpack.SkylineBl)
    for n, shape in enumerate(shapes):
        left, low, right, top = shape.bounds
        packer.add_rect(round(right - left + CLEARANCE, 2), round(top - low + CLEARANCE, 2), n)
    packer.add_bin(room.width + CLEARANCE, room.height + CLEARANCE, float("inf"))
    packer.pack()
    assert len(pages) < len(packer)
    used = sum(shape.area for shape in shapes) / (len(pages) * room.width * room.height)
    assert used >= 0.65, (len(pages), len(packer))
