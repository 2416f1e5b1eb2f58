"""Cutting out: true coverage, the thing's own colours, and the person's word."""

from __future__ import annotations

from functools import cache
from typing import Any, NamedTuple

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from splitpin.cutout.colour import colours
from splitpin.cutout.cut import Cutting, Piece, cut
from splitpin.cutout.knife import blade, knife
from splitpin.cutout.matte import matte
from splitpin.cutout.mistake import CutError
from splitpin.cutout.recipe import Recipe, Stroke
from splitpin.cutout.trimap import looks, trimap
from splitpin.measure.light import to_light, to_signal

Floats = NDArray[Any]
LOOP = [(40.0, 30.0), (185.0, 25.0), (200.0, 150.0), (110.0, 172.0), (35.0, 150.0)]
WIDE, HIGH = 240, 200


class Scene(NamedTuple):
    """A picture and what it was made of."""

    rgb: NDArray[np.uint8]
    alpha: Floats
    thing: Floats
    """Linear light."""


def over(alpha: Floats, thing: Floats, seed: int = 0) -> Scene:
    """A thing over blue-green grain, mixed in linear light as a lens does."""
    rng = np.random.default_rng(seed)
    grain = cv2.GaussianBlur(rng.normal(size=(*alpha.shape, 3)), (0, 0), 3) * 0.15
    behind = np.clip(np.array([0.05, 0.25, 0.35]) * (1 + 4 * grain), 0, 1)
    light = alpha[..., None] * thing + (1 - alpha[..., None]) * behind
    return Scene(np.rint(to_signal(np.clip(light, 0, 1)) * 255).astype(np.uint8), alpha, thing)


@cache
def disc(hole: float = 0.0, soft: float = 1.2) -> Scene:
    """An orange disc, or ring."""
    y, x = np.mgrid[:HIGH, :WIDE] + 0.5
    r = np.hypot(x - 115, y - 95)
    alpha = np.clip((50 - r) / soft + 0.5, 0, 1) * np.clip((r - hole) / soft + (0.5 if hole else 1), 0, 1)
    return over(alpha, np.full((HIGH, WIDE, 3), (0.75, 0.35, 0.05)))


@cache
def cut_disc() -> Piece:
    """The disc, cut out."""
    return cut(disc().rgb, Recipe(loop=LOOP))


def whole(piece: Piece) -> NDArray[np.uint8]:
    """The piece laid back where it was."""
    out = np.zeros((HIGH, WIDE, 4), np.uint8)
    x, y, w, h = piece.box
    out[y : y + h, x : x + w] = piece.rgba
    return out


def told_by(rgb: NDArray[np.uint8], recipe: Recipe) -> CutError | None:
    """What is said instead of a piece, if there is none."""
    try:
        piece = cut(rgb, recipe)
    except CutError as told:
        return told
    assert piece.rgba[..., 3].any()
    return None


def band(alpha: Floats) -> NDArray[np.bool_]:
    """Where coverage is partial, and two pixels beside."""
    return np.asarray(cv2.dilate(((alpha > 0) & (alpha < 1)).astype(np.uint8), np.ones((5, 5))) > 0)


def test_coverage_from_a_rough_loop_is_true() -> None:
    scene = disc()
    off = whole(cut_disc())[..., 3] / 255 - scene.alpha
    # A hard edge would leave more than 0.03 here.
    assert (off[band(scene.alpha)] ** 2).mean() < 0.002


def test_no_rim_of_the_old_ground_shows_on_black() -> None:
    scene = disc()
    laid = whole(cut_disc())
    a = laid[..., 3:] / 255.0
    black = to_signal(to_light(laid[..., :3] / 255.0) * a)
    true = to_signal(scene.thing * scene.alpha[..., None])
    assert abs((black - true)[band(scene.alpha)].mean()) < 2 / 255


def test_the_piece_is_trimmed_and_says_where_it_was() -> None:
    piece = cut_disc()
    x, y, w, h = piece.box
    assert piece.rgba.shape == (h, w, 4)
    for side in (piece.rgba[0], piece.rgba[-1], piece.rgba[:, 0], piece.rgba[:, -1]):
        assert side[..., 3].any()
    assert np.abs(np.array([x, y, x + w, y + h]) - (65, 45, 165, 145)).max() <= 2
    (outline,) = piece.outline
    middle = outline.mean(0)
    assert np.hypot(*(outline - (115, 95)).T).max() < 51.5
    assert np.abs(middle - (115, 95)).max() < 3


def test_what_is_wholly_the_thing_keeps_its_pixels_and_the_picture_is_not_changed() -> None:
    scene = disc()
    before = scene.rgb.copy()
    laid = whole(cut(scene.rgb, Recipe(loop=LOOP)))
    full = laid[..., 3] == 255
    assert full.sum() > 7000
    assert (laid[full][:, :3] == scene.rgb[full]).all()
    assert (scene.rgb == before).all()
    assert not laid[laid[..., 3] == 0].any()


def test_a_recipe_makes_the_same_piece_again_whatever_was_done_before() -> None:
    scene = disc()
    stroke = Stroke(points=[(60.0, 60.0), (70.0, 70.0)], radius=4.0)
    wanted = Recipe(loop=LOOP, drop=[stroke])
    first = cut(scene.rgb, Recipe.model_validate_json(wanted.model_dump_json()))
    table = Cutting(scene.rgb)
    table.preview(Recipe(box=(30, 30, 150, 140)))
    table.cut(Recipe(loop=LOOP, keep=[stroke]))
    cv2.setRNGSeed(5)
    again = table.cut(wanted)
    assert first.box == again.box
    assert (first.rgba == again.rgba).all()
    assert len(first.outline) == len(again.outline)
    assert all((a == b).all() for a, b in zip(first.outline, again.outline, strict=True))


@settings(max_examples=6, deadline=None)
@given(st.lists(st.tuples(st.booleans(), st.integers(45, 180), st.integers(40, 145)), min_size=1, max_size=4))
def test_stroke_after_stroke_gives_the_piece_that_all_strokes_give_from_the_start(
    drawn: list[tuple[bool, int, int]],
) -> None:
    table, recipe = Cutting(disc().rgb), Recipe(loop=LOOP)
    for keeps, x, y in drawn:
        stroke = Stroke(points=[(x, y), (x + 6, y + 3)], radius=3.0)
        side = "keep" if keeps else "drop"
        recipe = recipe.model_copy(update={side: [*getattr(recipe, side), stroke]})
        try:
            shown = table.preview(recipe)[0]
        except CutError:
            continue
    try:
        fresh = Cutting(disc().rgb).preview(recipe)[0]
    except CutError:
        return
    assert shown.box == fresh.box
    assert (shown.rgba == fresh.rgba).all()


@settings(max_examples=12, deadline=None)
@given(st.tuples(st.floats(20, 150), st.floats(20, 110), st.floats(20, 80), st.floats(20, 80)))
def test_nothing_outside_the_loop_is_kept(box: tuple[float, float, float, float]) -> None:
    try:
        piece = cut(disc().rgb, Recipe(box=box))
    except CutError:
        return  # there may be nothing in it
    x, y, w, h = piece.box
    assert x >= np.floor(box[0]) - 1
    assert y >= np.floor(box[1]) - 1
    assert x + w <= np.ceil(box[0] + box[2]) + 1
    assert y + h <= np.ceil(box[1] + box[3]) + 1


@settings(max_examples=12, deadline=None)
@given(st.integers(75, 155), st.integers(60, 130))
def test_strokes_are_obeyed(x: int, y: int) -> None:
    stroke = Stroke(points=[(float(x), float(y)), (x + 12.0, y + 3.0)], radius=5.0)
    under = np.zeros((HIGH, WIDE), np.uint8)
    cv2.line(under, (x, y), (x + 12, y + 3), 1, 5)
    there = under > 0
    kept = whole(cut(disc().rgb, Recipe(loop=LOOP, keep=[stroke])))
    dropped = whole(cut(disc().rgb, Recipe(loop=LOOP, drop=[stroke])))
    both = whole(cut(disc().rgb, Recipe(loop=LOOP, keep=[stroke], drop=[stroke])))
    assert kept[there][:, 3].min() > 240
    assert dropped[there][:, 3].max() < 15
    assert both[there][:, 3].max() < 15


def test_a_real_hole_stays_open_and_a_speck_does_not_come_along() -> None:
    scene = disc(hole=18)
    rgb = scene.rgb.copy()
    rgb[40:42, 60:62] = (220, 160, 60)
    laid = whole(cut(rgb, Recipe(loop=LOOP)))
    assert laid[90:100, 110:120, 3].max() < 10
    assert not laid[36:46, 56:66, 3].any()


def test_the_knife_cuts_crisply_where_the_edge_is() -> None:
    scene = disc()
    laid = whole(cut(scene.rgb, Recipe(loop=LOOP, edge="knife")))
    partial = (laid[..., 3] > 0) & (laid[..., 3] < 255)
    # A circle of radius 50 passes through some 8r pixels at most.
    assert partial.sum() < 8 * 52
    assert abs((laid[..., 3] / 255).sum() / scene.alpha.sum() - 1) < 0.02


@pytest.mark.parametrize(
    "points",
    [
        [(61.5, 60.25), (150.0, 55.0), (160.0, 130.0), (90.0, 140.0)],
        [(0.0, 0.0), (240.0, 0.0), (240.0, 200.0), (0.0, 200.0)],
        [(0.0, 80.0), (40.5, 0.0), (90.0, 90.0)],
    ],
)
def test_the_knife_looks_only_where_it_cuts_and_cuts_as_in_the_whole_picture(
    points: list[tuple[float, float]],
) -> None:
    rgb = disc().rgb
    laid = whole(cut(rgb, Recipe(loop=LOOP, edge="knife", knife=points)))
    alpha = blade(knife(rgb, points), WIDE, HIGH)
    assert (laid[..., 3] == alpha).all()
    assert (laid[..., :3] == np.where(alpha[..., None] > 0, rgb, 0)).all()


def test_ink_blackens_the_edge_by_its_width_and_leaves_the_middle() -> None:
    bare = whole(cut_disc())
    inked = whole(cut(disc().rgb, Recipe(loop=LOOP, ink_mm=0.5, ppi=254.0)))  # 5 pixels
    y, x = np.mgrid[:HIGH, :WIDE] + 0.5
    r = np.hypot(x - 115, y - 95)
    assert (inked[..., 3] == bare[..., 3]).all()
    assert inked[(r > 46) & (r < 48)][:, 0].mean() < 120 < bare[(r > 46) & (r < 48)][:, 0].mean()
    assert (inked[r < 40] == bare[r < 40]).all()


def test_a_preview_is_the_piece_made_smaller() -> None:
    scene = disc()
    big = np.asarray(cv2.resize(scene.rgb, None, fx=6, fy=6, interpolation=cv2.INTER_CUBIC), np.uint8)
    recipe = Recipe(loop=[(6 * x, 6 * y) for x, y in LOOP])
    table = Cutting(big)
    small, factor = table.preview(recipe)
    full = table.cut(recipe)
    assert factor > 1
    assert np.abs(np.array(small.box) - full.box).max() <= 2 * factor
    area = (small.rgba[..., 3] / 255).sum() * factor**2
    assert abs(area / (full.rgba[..., 3] / 255).sum() - 1) < 0.01


def test_the_band_is_narrow_at_a_sharp_edge_and_wide_at_a_furry_one() -> None:
    def share(soft: float) -> float:
        scene = disc(soft=soft)
        mask = scene.alpha > 0.5
        signal = (scene.rgb / 255).astype(np.float32)
        light = to_light(signal).astype(np.float32)
        known = trimap(looks(signal), light, mask, np.ones_like(mask)).known
        return float(((known > 0) & (known < 1)).sum())

    assert share(30.0) > 3 * share(1.0)


def test_colour_under_the_edge_is_much_nearer_to_the_things_own_than_what_the_picture_shows() -> None:
    scene = disc(soft=8.0)
    light = to_light(scene.rgb / 255.0).astype(np.float32)
    thing, behind = colours(light, scene.alpha.astype(np.float32))
    edge = (scene.alpha > 0.1) & (scene.alpha < 0.9)
    ours = np.abs(thing - scene.thing)[edge].mean()
    none = np.abs(light - scene.thing)[edge].mean()
    assert ours < 0.25 * none
    mixed = scene.alpha[..., None] * thing + (1 - scene.alpha[..., None]) * behind
    assert np.abs(mixed - light)[edge].mean() < 0.01


def levin(colour: Floats, epsilon: float) -> Floats:
    """The matting Laplacian, dense, written down straight from equation 12 of Levin 2008."""
    h, w = colour.shape[:2]
    index = np.arange(h * w).reshape(h, w)
    out = np.zeros((h * w, h * w))
    for y in range(1, h - 1):
        for x in range(1, w - 1):
            k = index[y - 1 : y + 2, x - 1 : x + 2].ravel()
            c = colour.reshape(-1, 3)[k].astype(np.float64)
            d = c - c.mean(0)
            inverse = np.linalg.inv(d.T @ d / 9 + epsilon / 9 * np.eye(3))
            out[np.ix_(k, k)] += np.eye(9) - (1 + d @ inverse @ d.T) / 9
    return out


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 1000))
def test_the_matte_is_the_minimum_of_the_published_form(seed: int) -> None:
    rng = np.random.default_rng(seed)
    h, w = 9, 12
    colour = cv2.GaussianBlur(rng.uniform(size=(h, w, 3)), (0, 0), 1.0).astype(np.float32)
    known = np.full((h, w), 0.5, np.float32)
    known[:, :4], known[:, 8:] = 0, 1
    form = levin(colour, 1e-3)
    free = (known == 0.5).ravel()
    right = -form[np.ix_(free, ~free)] @ known.ravel()[~free]
    wanted = np.clip(np.linalg.solve(form[np.ix_(free, free)], right), 0, 1)
    found = matte(colour, known, epsilon=1e-3).ravel()
    assert np.abs(found[free] - wanted).max() < 0.02
    assert (found[~free] == known.ravel()[~free]).all()


CROSSED = [(40.0, 30.0), (200.0, 150.0), (200.0, 30.0), (40.0, 150.0)]
BAD = {
    "nothing": (Recipe(), "no loop and no box"),
    "two points": (Recipe(loop=LOOP[:2]), "2 points"),
    "one place again and again": (Recipe(loop=[LOOP[0]] * 5), "1 point"),
    "crossing itself": (Recipe(loop=CROSSED), "crosses itself"),
    "outside": (Recipe(loop=[(500, 500), (600, 500), (600, 600)]), "outside"),
    "a box outside": (Recipe(box=(-50, -50, 20, 20)), "outside"),
    "flat": (Recipe(loop=[(10, 10), (60, 10), (110, 10.001)]), "encloses nothing"),
}


@pytest.mark.parametrize(("recipe", "words"), BAD.values(), ids=BAD.keys())
def test_a_bad_loop_is_told_with_what_to_do(recipe: Recipe, words: str) -> None:
    with pytest.raises(CutError) as told:
        cut(disc().rgb, recipe)
    assert words in told.value.found
    assert told.value.remedy
    assert told.value.expected


@pytest.mark.parametrize("edge", ["soft", "knife"])
def test_a_picture_of_one_colour_gives_the_loop_or_a_clear_word(edge: str) -> None:
    plain = np.full((HIGH, WIDE, 3), 99, np.uint8)
    said = told_by(plain, Recipe.model_validate({"loop": LOOP, "edge": edge}))
    assert said is None or "nothing" in said.found


@pytest.mark.parametrize("shape", [(1, 1), (1, 50), (2, 2), (50, 2)])
def test_a_picture_too_small_is_told(shape: tuple[int, int]) -> None:
    with pytest.raises(CutError) as told:
        cut(np.zeros((*shape, 3), np.uint8), Recipe(box=(0, 0, 50, 50)))
    assert "pixels" in told.value.expected or "picture" in told.value.where


@pytest.mark.parametrize("shape", [(3, 3), (4, 9), (20, 3), (12, 12)])
def test_tiny_pictures_never_break_it(shape: tuple[int, int]) -> None:
    rng = np.random.default_rng(1)
    said = told_by(rng.integers(0, 256, (*shape, 3)).astype(np.uint8), Recipe(box=(0, 0, 50, 50)))
    assert said is None or said.remedy


def test_ink_without_a_scale_takes_what_a_piece_without_one_has_its_size_by() -> None:
    said = Recipe(loop=LOOP, ink_mm=0.3, ppi=300)
    assert (cut(disc().rgb, said).rgba == cut(disc().rgb, said.model_copy(update={"ppi": None})).rgba).all()


def test_hair_is_found_with_the_gaps_between_it() -> None:
    rng = np.random.default_rng(4)
    fine = np.zeros((4 * HIGH, 4 * WIDE), np.uint8)
    cv2.circle(fine, (460, 380), 130, 255, -1)
    for a in np.linspace(0, 2 * np.pi, 110, endpoint=False):
        way, far = a + rng.normal() * 0.25, rng.uniform(165, 215)
        tip = (round(460 + far * np.cos(way)), round(380 + far * np.sin(way)))
        cv2.line(fine, (round(460 + 120 * np.cos(a)), round(380 + 120 * np.sin(a))), tip, 255, 4)
    alpha = cv2.resize(fine, (WIDE, HIGH), interpolation=cv2.INTER_AREA) / 255
    fur = cv2.GaussianBlur(rng.normal(size=(HIGH, WIDE, 1)), (0, 0), 2)[..., None]
    scene = over(alpha, np.clip(np.array([0.5, 0.25, 0.1]) * (1 + 1.5 * fur), 0.02, 1))
    off = whole(cut(scene.rgb, Recipe(loop=LOOP)))[..., 3] / 255 - alpha
    # The whole of the hair taken for the thing would leave 0.2 here.
    assert (off[band(alpha)] ** 2).mean() < 0.005
