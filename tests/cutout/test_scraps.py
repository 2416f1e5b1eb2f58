"""What is cut out is the thing with all its parts, without scraps; its outline tells of all of it."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

import cv2
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from splitpin.cutout.curves import area
from splitpin.cutout.cut import cut, edges
from splitpin.cutout.haze import without_haze
from splitpin.cutout.recipe import Recipe, Stroke
from splitpin.cutout.scraps import LeftOut, left_out, without_scraps
from splitpin.measure.light import to_signal

Alpha = NDArray[np.uint8]
WIDE, HIGH = 240, 180


def discs(*some: tuple[float, float, float]) -> NDArray[Any]:
    """Coverage of discs: x, y, radius."""
    y, x = np.mgrid[:HIGH, :WIDE] + 0.5
    return np.asarray(
        np.max([np.clip(r + 0.5 - np.hypot(x - cx, y - cy), 0, 1) for cx, cy, r in some], axis=0)
    )


def as_alpha(coverage: NDArray[Any]) -> Alpha:
    return np.asarray(np.rint(coverage * 255), np.uint8)


def picture(coverage: NDArray[Any]) -> Alpha:
    """Orange on blue-green grain."""
    rng = np.random.default_rng(3)
    grain = cv2.GaussianBlur(rng.normal(size=(HIGH, WIDE, 3)), (0, 0), 3) * 0.15
    behind = np.clip(np.array([0.05, 0.25, 0.35]) * (1 + 4 * grain), 0, 1)
    light = coverage[..., None] * np.array([0.75, 0.35, 0.05]) + (1 - coverage[..., None]) * behind
    return np.asarray(np.rint(to_signal(np.clip(light, 0, 1)) * 255), np.uint8)


def box(alpha: Alpha, least: int) -> NDArray[Any]:
    """Left, top, right and bottom of what is covered at least so much."""
    y, x = np.nonzero(alpha >= least)
    return np.array([x.min(), y.min(), x.max() + 1, y.max() + 1])


places = st.tuples(st.floats(15, WIDE - 15), st.floats(15, HIGH - 15), st.floats(1.5, 40))


@settings(max_examples=60, deadline=None)
@given(st.lists(places, min_size=1, max_size=6))
def test_the_outline_reaches_as_far_as_what_is_half_covered(some: list[tuple[float, float, float]]) -> None:
    alpha = without_scraps(as_alpha(discs(*some)), 16)
    told = np.concatenate(edges(alpha))
    reach = np.concatenate([told.min(0), told.max(0)])
    assert np.abs(reach - box(alpha, 128)).max() <= 2


@settings(max_examples=60, deadline=None)
@given(st.lists(places, min_size=1, max_size=6))
def test_a_part_stays_as_it_is_or_goes(some: list[tuple[float, float, float]]) -> None:
    alpha = as_alpha(discs(*some))
    left = without_scraps(alpha, 16)
    assert ((left == alpha) | (left == 0)).all()
    assert left.any()


def test_a_crumb_far_off_goes_and_one_that_was_asked_for_stays() -> None:
    alpha = as_alpha(discs((80, 90, 50), (215, 30, 5)))
    assert box(without_scraps(alpha, 16), 1)[2] < 135
    keep = np.zeros(alpha.shape, bool)
    keep[30, 215] = True
    assert (without_scraps(alpha, 16, keep) == alpha).all()


def test_a_crumb_that_a_faint_haze_ties_to_the_thing_goes_too() -> None:
    coverage = discs((80, 90, 50), (215, 90, 5))
    coverage[88:92, 120:220] = np.maximum(coverage[88:92, 120:220], 0.05)
    left = without_scraps(as_alpha(coverage), 16)
    assert box(left, 1)[2] < 150


def test_a_whisker_that_fades_in_between_keeps_its_tip() -> None:
    coverage = discs((80, 90, 40))
    for x in range(118, 220, 10):
        coverage[89:91, x : x + 7] = 1
    assert (without_scraps(as_alpha(coverage), 0) == as_alpha(coverage)).all()


def test_a_pair_of_shoes_is_cut_out_as_two_with_an_edge_each() -> None:
    piece = cut(picture(discs((70, 90, 36), (170, 95, 30))), Recipe(box=(15, 35, 210, 110)))
    assert len(piece.outline) == 2
    x, y, w, h = piece.box
    assert np.abs(np.array([x, y, x + w, y + h]) - (34, 54, 200, 126)).max() <= 3
    told = np.concatenate(piece.outline)
    reach = np.concatenate([told.min(0), told.max(0)]) - (x, y, x, y)
    assert np.abs(reach - box(np.ascontiguousarray(piece.rgba[..., 3]), 128)).max() <= 2


def test_a_keep_stroke_brings_along_what_is_too_faint() -> None:
    rgb = picture(np.maximum(discs((80, 90, 50)), 0.1 * discs((215, 40, 5))))
    loop = Recipe(box=(10, 20, 222, 140))
    assert len(cut(rgb, loop).outline) == 1
    stroke = Stroke(points=[(215, 40), (216, 41)], radius=3)
    assert len(cut(rgb, loop.model_copy(update={"keep": [stroke]})).outline) == 2


def test_a_small_part_stays_where_it_is_as_clear_as_the_large_one() -> None:
    dots = [(float(x), float(y), 5.0) for x in (160, 190, 220) for y in (30, 90, 150)]
    piece = cut(picture(discs((80, 90, 50), *dots)), Recipe(box=(10, 10, 225, 165)))
    assert len(piece.outline) == 10
    assert piece.left_out is None
    # No one of sixty like ones, either, because another of them is a little larger.
    dots = [(20.0 + 22 * x, 18.0 + 28 * y, 7.0 if x == y == 2 else 5.0) for x in range(10) for y in range(6)]
    assert len(cut(picture(discs(*dots)), Recipe(box=(5, 3, 230, 174))).outline) == 60


def test_every_dot_of_a_word_is_cut_out_with_it() -> None:
    font = ImageFont.truetype(str(files("splitpin") / "device/fonts/DejaVuSans.ttf"), 56)
    page = Image.new("RGB", (420, 120), (238, 228, 205))
    ImageDraw.Draw(page).text((20, 25), "Mississippi", font=font, fill=(40, 30, 30))
    grain = np.random.default_rng(1).normal(0, 3, (120, 420, 3))
    piece = cut(np.clip(np.asarray(page) + grain, 0, 255).astype(np.uint8), Recipe(box=(5, 5, 410, 110)))
    parts, _ = cv2.connectedComponents((piece.rgba[..., 3] >= 128).astype(np.uint8))
    assert parts - 1 == 15  # M, four times i and its dot, four s, two p


def test_what_is_left_out_is_told_with_its_place() -> None:
    alpha = as_alpha(discs((80, 90, 50), (215, 30, 5), (30, 160, 3)))
    ground = np.full((*alpha.shape, 3), 120, np.uint8)
    left = without_scraps(alpha, 16, picture=ground)
    assert left_out(alpha, left) == LeftOut(2, (214, 30), 88)
    assert left_out(alpha, alpha) is None
    # The same where one can see that it is something.
    ground[alpha > 0] = 220
    assert (without_scraps(alpha, 16, picture=ground) == alpha).all()


def test_broad_haze_beside_a_sharp_edge_goes_and_hair_soft_edges_and_glass_stay() -> None:
    y, x = np.mgrid[:HIGH, :WIDE] + 0.5
    none = np.zeros((HIGH, WIDE), np.bool_)
    disc = np.clip(60.5 - np.hypot(x - 100, y - 90), 0, 1).astype(np.float32)
    hazy = disc.copy()
    hazy[80:100, 150:190] = np.maximum(hazy[80:100, 150:190], 0.1)
    left = without_haze(hazy, none)
    assert (left[:, 165:] == 0).all()
    assert (left[disc > 0] == disc[disc > 0]).all()
    assert (without_haze(hazy, hazy > 0) == hazy).all()  # a person said so
    hairy, soft = disc.copy(), np.clip((60 - np.hypot(x - 100, y - 90)) / 30 + 0.5, 0, 1).astype(np.float32)
    hairy[60:120:6, 150:200] = np.maximum(hairy[60:120:6, 150:200], 0.2)
    glass = disc.copy()
    glass[np.hypot(x - 100, y - 90) < 40] = 0.1
    for kept in (hairy, soft, glass):
        assert (without_haze(kept, none) == kept).all()


def test_a_hole_is_told_and_runs_the_other_way_round() -> None:
    ring = discs((110, 90, 60)) - discs((110, 90, 25))
    outer, hole = edges(as_alpha(ring))
    assert area(outer) * area(hole) < 0
    assert abs(abs(area(hole)) - np.pi * 25**2) < 40


def cup(scrap: tuple[int, int, int] | None, dot: bool) -> Alpha:
    """A white cup with a handle on a brown table; something lies on the table within the handle."""
    paint = Image.new("RGB", (1600, 1200), (190, 150, 110))
    draw = ImageDraw.Draw(paint)
    draw.ellipse((920, 360, 1360, 840), fill=(235, 235, 240))
    draw.ellipse((1000, 440, 1280, 760), fill=(190, 150, 110))
    draw.rounded_rectangle((320, 240, 1040, 960), 120, fill=(235, 235, 240))
    if scrap:
        draw.ellipse((1112, 560, 1192, 632), fill=scrap)
    if dot:
        draw.ellipse((600, 120, 680, 200), fill=(235, 235, 240))
    grain = np.random.default_rng(1).normal(0, 1, (300, 400, 3))
    rgb = np.asarray(paint.resize((400, 300), Image.Resampling.BOX)) + cv2.GaussianBlur(grain, (0, 0), 2) * 8
    return np.clip(rgb, 0, 255).astype(np.uint8)


def test_what_is_seen_through_a_handle_is_no_part_of_the_cup_but_a_spot_of_its_own_colour_above_it_is() -> (
    None
):
    around = Recipe(
        loop=[(60, 20), (250, 20), (300, 80), (355, 110), (355, 200), (260, 260), (65, 260), (50, 140)]
    )
    for scrap in (None, (255, 240, 200), (60, 40, 30), (40, 80, 160)):
        piece = cut(cup(scrap, dot=True), around)
        x, y, w, h = piece.box
        laid = np.zeros((300, 400), np.uint8)
        laid[y : y + h, x : x + w] = piece.rgba[..., 3]
        assert laid[130:171, 270:301].max() == 0
        assert laid[40, 160] == 255
        assert len(piece.outline) == 3  # the cup, the hole of its handle, the spot
        assert np.abs(box(laid, 1) - (x, y, x + w, y + h)).max() == 0
        told = np.concatenate(piece.outline)
        assert np.abs(np.concatenate([told.min(0), told.max(0)]) - box(laid, 128)).max() <= 2
    assert piece.left_out is None or piece.left_out.at[0] > 260
