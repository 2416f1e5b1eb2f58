"""Drawing only what changed: always the same bits, at the cost of what changed."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.pictures import in_pixels, lying, noise, placings

from splitpin.character.place import Placed
from splitpin.frames.canvas import RESTING, Canvas, changed, draw_row
from splitpin.frames.layer import Layer
from splitpin.frames.look import PaperLook
from splitpin.frames.pyramid import Pyramid
from splitpin.frames.rect import Rect
from splitpin.measure.affine import Affine
from splitpin.measure.table import Stage, View
from splitpin.sheet.sheet import Row

STAGE = Stage(130, 140, 120.0)
PICTURES = {
    "scrap": Pyramid.of(noise(24, 17, 1)),
    "block": Pyramid.of(noise(40, 31, 2, opaque=True)),
    "ground": Pyramid.of(noise(200, 220, 3, opaque=True)),
}
SIZES = {"scrap": (24, 17), "block": (40, 31), "ground": (200, 220)}
VIEWS = (STAGE.whole(), View(3.0, 1.0, 80.0, 4.0))

stacks = placings(STAGE, SIZES)


@st.composite
def exposures(draw: st.DrawFn) -> list[tuple[tuple[Placed, ...], View]]:
    """Exposures in which some pieces rest, some move, come, go or change places."""
    pieces = [*draw(stacks), *draw(stacks)]
    rows: list[tuple[tuple[Placed, ...], View]] = []
    for _ in range(draw(st.integers(2, 9))):
        lowest = pieces[: draw(st.integers(0, len(pieces)))]
        others = draw(st.lists(st.sampled_from(pieces), max_size=4))
        rows.append(((*lowest, *others), draw(st.sampled_from([VIEWS[0], VIEWS[0], VIEWS[1]]))))
        rows += [rows[-1]] * draw(st.integers(0, RESTING))
    return rows


@given(exposures(), st.booleans())
@settings(max_examples=60)
def test_partial_redraws_give_the_bits_of_a_full_one(
    rows: list[tuple[tuple[Placed, ...], View]], shadows: bool
) -> None:
    look = PaperLook(shadows=shadows, thickness_mm=2.0)
    canvas = Canvas(STAGE, PICTURES, look, "#f2ead8")
    before = canvas.rgb.copy()
    for i, (placed, view) in enumerate(rows):
        rects = canvas.draw(placed, view)
        whole = draw_row(Row(0, 1, placed, view, ""), STAGE, PICTURES, look, "#f2ead8")
        assert (canvas.rgb == whole).all()
        touched = np.zeros(before.shape[:2], int)
        for r in rects:
            touched[r.y0 : r.y1, r.x0 : r.x1] += 1
        assert touched.max(initial=0) <= 1
        assert i == 0 or (canvas.rgb == before)[touched == 0].all()
        before = canvas.rgb.copy()


def scrap(x: float, y: float = 70.0) -> Placed:
    return in_pixels("scrap", STAGE, lying(SIZES["scrap"], x, y, 20, 1.0))


GROUND = in_pixels("ground", STAGE, lying(SIZES["ground"], 65, 70, 0, 0.8))


def test_an_exposure_like_the_last_draws_nothing() -> None:
    canvas = Canvas(STAGE, PICTURES)
    canvas.draw((GROUND, scrap(40)), STAGE.whole())
    pixels = canvas.work.pixels
    assert canvas.draw((GROUND, scrap(40)), STAGE.whole()) == ()
    assert (canvas.work.rows, canvas.work.reused, canvas.work.pixels) == (2, 1, pixels)


def test_the_first_exposure_changes_the_whole_frame() -> None:
    assert Canvas(STAGE, PICTURES).draw((), STAGE.whole()) == (Rect(0, 0, 130, 140),)


def test_a_moved_piece_costs_no_more_than_its_old_and_new_place() -> None:
    canvas = Canvas(STAGE, PICTURES)
    canvas.draw((GROUND, scrap(30)), STAGE.whole())
    before = canvas.work.pixels
    (rect,) = canvas.draw((GROUND, scrap(33)), STAGE.whole())
    assert rect.area < 40 * 40
    assert canvas.work.pixels - before < 2 * rect.area


def test_what_rests_below_is_flattened_once() -> None:
    canvas = Canvas(STAGE, PICTURES)
    still = (GROUND, scrap(20, 20), scrap(90, 100))
    for x in range(20, 50):
        canvas.draw((*still, scrap(x)), STAGE.whole())
    assert canvas.work.flattened == len(still)
    before = canvas.work.pixels
    canvas.draw((*still, scrap(51)), STAGE.whole())
    assert canvas.work.pixels - before < SIZES["scrap"][0] * SIZES["scrap"][1] * 1.7


def test_a_piece_that_starts_to_move_leaves_the_flattened_ground() -> None:
    canvas = Canvas(STAGE, PICTURES)
    for _ in range(RESTING + 1):
        canvas.draw((GROUND, scrap(30)), STAGE.whole())
    for x in range(31, 40):
        canvas.draw((GROUND, scrap(x)), STAGE.whole())
        assert (
            canvas.rgb == draw_row(Row(0, 1, (GROUND, scrap(x)), STAGE.whole(), ""), STAGE, PICTURES)
        ).all()


def test_pieces_that_change_places_are_drawn_again() -> None:
    a, b = Layer("a", Affine(), Rect(0, 0, 1, 1)), Layer("b", Affine(), Rect(2, 2, 3, 3))
    c = Layer("c", Affine(), Rect(4, 4, 5, 5))
    assert changed([a, b, c], [a, b, c]) == []
    assert changed([a, b], [a, c]) == [b, c]
    assert changed([a, c], [a, b, c]) == [b]
    assert changed([a, a], [a]) == [a]
    assert set(changed([a, b], [b, a])) & {a, b}


def test_canvases_in_threads_share_pictures_and_agree() -> None:
    fresh = {name: Pyramid.of(noise(*SIZES[name], i)) for i, name in enumerate(sorted(SIZES))}
    rows = [Row(0, 1, (GROUND, scrap(20 + i)), VIEWS[i % 2], "") for i in range(8)]
    alone = [draw_row(row, STAGE, fresh) for row in rows]
    fresh = {name: Pyramid.of(noise(*SIZES[name], i)) for i, name in enumerate(sorted(SIZES))}
    with ThreadPoolExecutor(4) as pool:
        together = list(pool.map(lambda row: draw_row(row, STAGE, fresh), rows))
    assert all((a == b).all() for a, b in zip(alone, together, strict=True))
