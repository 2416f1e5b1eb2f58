"""Guide strips and bend fans, measured by readers of PDF that know nothing of how they were laid out."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pdfplumber
import pytest
from numpy.typing import NDArray
from scipy.integrate import quad
from scipy.optimize import brentq
from shapely import Polygon, STRtree
from tests.paper.pdf import MM, raster
from tests.paper.randomfilm import set_scenes, write_random
from tests.tinyfilm import write_tiny

from splitpin.jobs.kit import kit, lay_out
from splitpin.jobs.new import new
from splitpin.jobs.ready import ready
from splitpin.paper.clip import word_box
from splitpin.paper.fans import RAY
from splitpin.paper.foot import TICK
from splitpin.paper.labels import spread, thinned
from splitpin.paper.page import Stroke, Words
from splitpin.sheet.sheet import Row, Sheet

WITHIN, DEGREES = 0.05, 0.05
Points = NDArray[np.complex128]


def thick(line: dict[str, Any]) -> float:
    """The width of a line, mm."""
    return round(float(line["linewidth"]) * MM, 4)


class Slip:
    """What lies in the frame of one slip of a page; places are x + iy, mm from the lower left corner."""

    def __init__(self, page: pdfplumber.page.Page, box: tuple[float, ...], number: int) -> None:
        self.page, self.box = number, box
        high = float(page.height)
        self.ticks: list[tuple[complex, complex]] = []
        self.rays: list[tuple[complex, complex]] = []
        for line in page.lines:
            a, b = (complex(x, high - y) * MM for x, y in line["pts"])
            kind = {TICK: self.ticks, RAY: self.rays}.get(thick(line))
            if kind is not None and self.holds(a):
                kind.append((a, b))
        inside = [c for c in page.chars if self.holds(complex(c["x0"], high - c["bottom"]) * MM)]
        self.words = "".join(c["text"] for c in inside)

    def holds(self, point: complex) -> bool:
        left, low, right, top = self.box
        return left - 0.01 <= point.real <= right + 0.01 and low - 0.01 <= point.imag <= top + 0.01

    @property
    def places(self) -> Points:
        return np.array([a for a, _ in self.ticks])


def slips(file: Path) -> Iterator[Slip]:
    with pdfplumber.open(file) as pages:
        for number, page in enumerate(pages.pages):
            high = float(page.height)
            for rect in page.rects:
                if thick(rect) == 0.15 and rect["width"] * MM > 100:
                    box = rect["x0"], high - rect["bottom"], rect["x1"], high - rect["top"]
                    yield Slip(page, tuple(v * MM for v in box), number)


def lying(row: Row, name: str) -> complex | None:
    who, _, piece = name.partition(".")
    return next((complex(*p.pin) for p in row.placed if p.who == who and p.piece == (piece or "piece")), None)


def journeys(sheet: Sheet, name: str) -> list[Points]:
    """A piece's places, each once while it stays, as the rows have them; in parts where it is away."""
    parts: list[list[complex]] = [[]]
    for row in sheet.rows:
        place = lying(row, name)
        if place is None:
            parts.append([])
        elif not parts[-1] or abs(place - parts[-1][-1]) >= 1e-4:
            parts[-1].append(place)
    return [np.array(part) for part in parts if part]


def fit(found: Points, wanted: Points) -> tuple[float, float]:
    """How far places lie off once turned and shifted onto the others, mm; and the turn, degrees."""
    a, b = found - found.mean(), wanted - wanted.mean()
    turn = np.vdot(b, a)
    turn /= abs(turn)
    return float(np.abs(a - b * turn).max()), float(np.angle(turn, deg=True))


def best(found: Points, parts: list[Points], lean: float) -> tuple[float, float]:
    """How far ticks, in their order, lie off the stretch of a journey that they fit, mm and degrees.

    Where a piece wags, several stretches fit; ``lean`` is the turn that the strip tells of itself.
    """
    n = len(found)
    fits = [fit(found, part[k : k + n]) for part in parts for k in range(len(part) - n + 1)]
    offs = [(off, abs((turn + lean + 180) % 360 - 180)) for off, turn in fits]
    return min(offs, key=lambda both: max(both[0] / WITHIN, both[1] / DEGREES), default=(np.inf, np.inf))


def one_scene(folder: Path, moves: str, seconds: float = 4.0, more: str = "") -> Path:
    """A film of one scene with a ball on ones."""
    write_tiny(folder)
    scene = f'format = 1\non = 1\n{more}[[panels]]\nname = "all"\nseconds = {seconds}\n'
    (folder / "scenes" / "one.toml").write_text(f'{scene}[cast.ball]\ncutout = "ball"\n{moves}')
    set_scenes(folder, ["one"])
    return folder


@pytest.fixture(scope="module")
def random_film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_random(tmp_path_factory.mktemp("random") / "film", 50, 11)


@pytest.fixture(scope="module")
def example_film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("example") / "film"
    new(folder, example=True)
    return folder


@pytest.mark.parametrize("paper", ["A3", "Letter"])
@pytest.mark.parametrize("which", ["random_film", "example_film"])
def test_every_tick_lies_where_the_rows_lay_the_pin(
    request: pytest.FixtureRequest, tmp_path: Path, which: str, paper: str
) -> None:
    folder = request.getfixturevalue(which)
    done = kit(folder, paper=paper, only=["strips"], file=tmp_path / "kit.pdf")
    sheets = {sheet.scene: sheet for sheet in ready(folder).sheets}
    seen: dict[tuple[str, str], int] = {}
    for slip in slips(done.file or Path()):
        scene, _, rest = slip.words.partition(" · strip ")
        scene = max((name for name in sheets if scene.endswith(name)), key=len, default="")
        if not scene:
            continue
        name = rest.partition(" · ")[2].partition("exposure")[0]
        told = rest.partition("turned ")[2].partition("°")[0].replace("−", "-")
        off, astray = best(slip.places, journeys(sheets[scene], name), float(told or 0))
        assert off <= WITHIN, (scene, name)
        assert astray <= DEGREES, (scene, name)
        seen[scene, name] = seen.get((scene, name), 0) + len(slip.ticks)
    if which == "random_film" and paper == "A3":
        # what the moves of every scene make travel, and nothing that is only carried
        assert {name for _, name in seen} == {"cat.body", "ball", "cat.mouth"}
        assert len({scene for scene, _ in seen}) == 50
        for scene, sheet in sheets.items():
            steps = sum(len(part) - 1 for part in journeys(sheet, "ball"))
            assert seen[scene, "ball"] > steps


@pytest.mark.parametrize("which", ["random_film", "example_film"])
def test_every_ray_points_where_the_rows_turn_the_piece(
    request: pytest.FixtureRequest, tmp_path: Path, which: str
) -> None:
    folder = request.getfixturevalue(which)
    done = kit(folder, only=["fans"], file=tmp_path / "kit.pdf")
    sheets = {sheet.scene: sheet for sheet in ready(folder).sheets}
    count = 0
    for slip in slips(done.file or Path()):
        scene, _, rest = slip.words.partition(" · fan ")
        scene = max((name for name in sheets if scene.endswith(name)), key=len)
        who, _, piece = rest.partition(" · ")[2].partition("exposures")[0].partition(".")
        angles = [
            p.angle % 360
            for row in sheets[scene].rows
            for p in row.placed
            if p.who == who and p.piece == (piece or "piece")
        ]
        theirs = np.unique(np.round(angles, 4))
        ours = np.array([np.angle(b - a, deg=True) for a, b in slip.rays])
        # some turn of the whole fan lays each ray on a direction of the piece
        offs = []
        for shift in ours[0] - theirs:
            apart = np.abs((ours[:, None] - shift - theirs[None, :] + 180) % 360 - 180)
            offs.append(apart.min(axis=1).max())
        assert min(offs) <= DEGREES, (scene, who, piece)
        count += len(ours)
        # every ray runs through the pin
        pin = np.array([a for a, _ in slip.rays])
        way = np.array([(b - a) / abs(b - a) for a, b in slip.rays])
        if len(way) > 1 and np.ptp(np.unwrap(np.angle(way))) > 0.2:
            rows = np.column_stack([-way.imag, way.real])
            hole, *_ = np.linalg.lstsq(rows, -way.imag * pin.real + way.real * pin.imag, rcond=None)
            assert np.abs(rows @ hole - (-way.imag * pin.real + way.real * pin.imag)).max() <= WITHIN
    assert count > 100


CURVE = ((0.0, 0.0), (10.0, 70.0), (70.0, 70.0), (90.0, 0.0))
"""A Bézier curve, mm."""


def test_curved_ticks_lie_at_equal_fractions_of_the_length(tmp_path: Path) -> None:
    moves = '[[moves]]\nmove = "slide"\nwho = "ball"\npositions = 24\nease = "even"\n'
    moves += "to = [90, 0]\ncurve = [[10, 70], [70, 70]]\n"
    done = kit(one_scene(tmp_path / "f", moves), only=["strips"])
    [slip] = slips(done.file or Path())
    # an even slide: exposure k of 24 has gone (k + 1)/24 of the length (SciPy integrates the speed)
    p = np.array(CURVE)

    def speed(t: float) -> float:
        u = 1 - t
        return float(
            np.hypot(*(3 * u * u * (p[1] - p[0]) + 6 * u * t * (p[2] - p[1]) + 3 * t * t * (p[3] - p[2])))
        )

    def length(t: float) -> float:
        return float(quad(speed, 0, t, epsabs=1e-10)[0])

    def at(t: float) -> complex:
        u = 1 - t
        return complex(*(u**3 * p[0] + 3 * u * u * t * p[1] + 3 * u * t * t * p[2] + t**3 * p[3]))

    wanted = [at(brentq(lambda t, k=k: length(t) - k / 24 * length(1), 0, 1)) for k in range(1, 25)]
    off, turn = fit(slip.places, np.array(wanted))
    assert off <= WITHIN
    assert abs(turn) <= DEGREES
    # each tick stands across the way: along the normal of the curve at its place
    across = np.array([b - a for a, b in slip.ticks])[1:-1]
    ahead = slip.places[2:] - slip.places[:-2]
    assert np.abs(np.cos(np.angle(across / ahead))).max() < 0.06


def test_a_long_strip_joins_to_its_full_length(tmp_path: Path) -> None:
    moves = '[[moves]]\nmove = "slide"\nwho = "ball"\npositions = 30\nto = [630, 0]\nease = "even"\n'
    done = kit(one_scene(tmp_path / "f", moves), only=["strips"])
    found = []
    with pdfplumber.open(done.file or Path()) as pages:
        for number, page in enumerate(pages.pages[1:], 1):
            high = float(page.height) * MM
            ticks = [
                (line["pts"][0][0] * MM, high - line["pts"][0][1] * MM)
                for line in page.lines
                if thick(line) == TICK
            ]
            dashed = [
                line["pts"][0][0] * MM
                for line in page.lines
                if line["dash"] and line["dash"][0] and thick(line) == 0.1
            ]
            found.append((number, ticks, sorted(set(np.round(dashed, 3)))))
    # on each sheet ticks are 21 mm apart, and between joins of all sheets every one is there once
    total = 0
    for _, ticks, _ in found:
        rows: dict[float, list[float]] = {}
        for x, y in ticks:
            rows.setdefault(round(y, 1), []).append(x)
        for xs in rows.values():
            assert np.abs(np.diff(sorted(xs)) - 21).max(initial=0) <= WITHIN
            total += len(xs)
    assert 30 <= total <= 34
    assert sum(len(joins) for *_, joins in found) >= 2


def test_strips_and_fans_measure_in_a_raster_too(tmp_path: Path) -> None:
    moves = '[[moves]]\nmove = "slide"\nwho = "ball"\npositions = 12\nto = [100, 30]\n'
    moves += '[[moves]]\nmove = "bend"\nwho = "ball"\npositions = 12\nto = 80\nease = "even"\n'
    file = kit(one_scene(tmp_path / "f", moves), only=["strips", "fans"]).file or Path()
    px = 600 / 25.4
    strip, fan = slips(file)
    dark = raster(file, strip.page) < 150
    row = dark[dark.shape[0] - round((strip.places[0].imag - 1.5) * px)]
    edges = np.nonzero(np.diff(row[round((strip.box[0] + 12) * px) : round((strip.box[2] - 12) * px)]))[0]
    middles = (edges[::2] + edges[1::2]) / 2 / px
    # a taper's steps: three smaller ones at each end, 1 2 3 4 4 4 4 4 4 3 2 1
    wanted = np.cumsum([0, 2, 3, 4, 4, 4, 4, 4, 4, 3, 2, 1]) / 36 * np.hypot(100, 30)
    assert np.abs(middles - middles[0] - wanted).max() <= 0.1
    dark = raster(file, fan.page) < 150
    hole = complex(*crossing(fan))
    angles = np.unwrap([np.angle(b - a) for a, b in fan.rays])
    reach = max(abs(b - hole) for _, b in fan.rays)
    seen = []
    for degrees in np.arange(np.degrees(angles.min()) - 3, np.degrees(angles.max()) + 3, 0.02):
        x = hole + 0.9 * reach * np.exp(1j * np.radians(degrees))
        seen.append(dark[dark.shape[0] - 1 - int(x.imag * px), int(x.real * px)])
    edges = np.nonzero(np.diff(np.array(seen)))[0]
    rays = np.sort(np.mean(np.reshape(edges, (-1, 2)), axis=1) * 0.02)
    assert np.abs(np.radians(np.diff(rays) - 80 / 12)).max() * reach <= 0.1


def crossing(fan: Slip) -> tuple[float, float]:
    """Where the first and the last ray of a fan would meet."""
    (a, b), (c, d) = fan.rays[0], fan.rays[-1]
    u, v = b - a, d - c
    s = ((c - a) * v.conjugate()).imag / (u * v.conjugate()).imag
    where = a + s * u
    return where.real, where.imag


def test_nothing_that_moves_needs_no_strip(tmp_path: Path) -> None:
    done = kit(one_scene(tmp_path / "f", ""), only=["strips", "fans"])
    assert dict(done.pages) == {"proof": 1}


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("move", ["slide", "flutter"])
def test_three_thousand_exposures(tmp_path: Path, move: str, paper: str) -> None:
    keys = "to = [900, 200]" if move == "slide" else ""
    moves = f'[[moves]]\nmove = "{move}"\nwho = "ball"\npositions = 3000\n{keys}\n'
    film = one_scene(tmp_path / "f", moves, 125.0)
    laid = lay_out(film, only=["strips", "fans"], paper=paper)
    ticks = [m for page in laid.pages for m in page.marks if isinstance(m, Stroke) and m.width == TICK]
    assert len(ticks) >= 3000
    # nothing leaves the paper, no line of type lies on another
    for page in laid.pages[1:]:
        boxes = []
        for mark in page.marks:
            if isinstance(mark, Words):
                corners = word_box(mark, laid.face)
                boxes.append(Polygon(corners).buffer(-0.15))
            points = corners if isinstance(mark, Words) else mark.points if isinstance(mark, Stroke) else ()
            assert all(0 < x < page.stock.width and 0 < y < page.stock.height for x, y in points)
        tree = STRtree(boxes)
        pairs = tree.query(boxes, "intersects")
        assert (pairs[0] == pairs[1]).all(), [page.title]


def test_names_in_other_letters_are_printed_or_told(tmp_path: Path) -> None:
    film = write_tiny(tmp_path / "f")
    scene = 'format = 1\n[[panels]]\nname = "όλα"\nseconds = 1\n[cast."{0}"]\ncutout = "ball"\n'
    scene += '[[moves]]\nmove = "slide"\nwho = "{0}"\nto = [40, 0]\n'
    for name, who in (("γάτα", "γάτα"), ("кот", "кот"), ("neko", "猫")):
        (film / "scenes" / f"{name}.toml").write_text(scene.format(who), encoding="utf-8")
    set_scenes(film, ["γάτα", "кот", "neko"])
    done = kit(film, only=["strips"])
    words = "".join(slip.words for slip in slips(done.file or Path()))
    assert "γάτα · strip 1" in words
    assert "кот · strip 1" in words
    assert any("猫" in note and "--font" in note for note in done.notes)


def test_labels_keep_apart_and_near_their_wishes() -> None:
    wishes = [0.0, 0.1, 0.2, 30.0]
    places = spread(wishes, 2.5, -10, 50)
    assert np.diff(places).min() >= 2.5 - 1e-9
    assert places[1] == pytest.approx(0.1)
    assert places[3] == 30.0
    assert spread([0.0, 0.0], 2.5, 0, 50) == pytest.approx([0, 2.5])
    assert thinned(12, 6) == [0, 4, 9, 11]
    assert thinned(5, 6) == [0, 1, 2, 3, 4]
