"""The knife, on edges whose place is known."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from splitpin.cutout.coverage import coverage
from splitpin.cutout.curves import area, flatten
from splitpin.cutout.cut import cut
from splitpin.cutout.doubts import doubts
from splitpin.cutout.knife import along, blade, knife, snap
from splitpin.cutout.lightest import lightest_path
from splitpin.cutout.mistake import CutError
from splitpin.cutout.recipe import Recipe

Real = NDArray[np.float64]


def thing(seed: int, size: int = 400) -> tuple[Real, Real, NDArray[np.uint8]]:
    """A wavy outline, its directions outward, and a picture of something grainy over something else."""
    rng = np.random.default_rng(seed)
    t = np.linspace(0, 2 * np.pi, 3000, endpoint=False)
    r = size * (0.3 + 0.03 * np.cos(3 * t + rng.uniform(0, 6)) + 0.01 * np.sin(7 * t))
    middle = size / 2 + rng.uniform(-1, 1, 2)
    way = np.stack([np.cos(t), np.sin(t)], axis=1)
    line = middle + r[:, None] * way
    share = coverage([line], size, size)[..., None]
    grain = [cv2.GaussianBlur(rng.normal(0, 1, (size, size, 3)), (0, 0), s) * s for s in (5, 3)]
    under, over = np.array([110, 120, 130]) + 20 * grain[0], np.array([190, 90, 60]) + 15 * grain[1]
    rgb = under * (1 - share) + over * share + rng.normal(0, 2, (size, size, 3))
    return line, way, np.clip(rgb, 0, 255).astype(np.uint8)


def apart(polygon: Real, line: Real) -> Real:
    steps = np.linspace(0, 1, 8, endpoint=False)[:, None]
    ends = np.roll(line, -1, axis=0)
    dense = np.concatenate([p + (q - p) * steps for p, q in zip(line, ends, strict=True)])
    return np.asarray(cKDTree(dense).query(polygon)[0])


@given(st.integers(0, 10_000))
@example(1814)
@settings(max_examples=12, deadline=None)
def test_from_points_four_pixels_off_the_cut_is_within_half_a_pixel(seed: int) -> None:
    line, way, rgb = thing(seed)
    at = np.arange(12) * 250
    off = np.where(np.arange(12) % 2, 4.0, -4.0)[:, None]
    curves = knife(rgb, [(float(x), float(y)) for x, y in line[at] + way[at] * off])
    assert apart(flatten(curves, 0.02), line).max() <= 0.5


@given(st.integers(0, 10_000))
@settings(max_examples=10, deadline=None)
def test_a_point_finds_its_edge_finer_than_pixels(seed: int) -> None:
    line, way, rgb = thing(seed)
    at = np.arange(12) * 250
    found = [snap(rgb, (float(x), float(y))) for x, y in line[at] + 3 * way[at]]
    # The nearest pixel's centre may lie 0.7 beside it.
    assert apart(np.array(found), line).max() <= 0.3


def test_the_alpha_is_crisp_one_pixel_of_exact_coverage() -> None:
    line, way, rgb = thing(1)
    curves = knife(rgb, [(float(x), float(y)) for x, y in (line + way)[::250]])
    alpha = blade(curves, 400, 400)
    assert alpha.sum() / 255 == pytest.approx(abs(area(flatten(curves, 0.001))), rel=1e-4)
    soft = (alpha > 0) & (alpha < 255)
    inside = cv2.distanceTransform((~soft).astype(np.uint8), cv2.DIST_L2, 5)
    assert soft.sum() < 1.6 * 2 * np.pi * 130
    assert ((alpha == 0) | (alpha == 255))[inside > 1].all()


def test_a_point_snaps_to_the_clearest_edge_within_reach_only() -> None:
    rgb = np.full((60, 80, 3), 200, np.uint8)
    rgb[:, 40:] = 40
    x, y = snap(rgb, (35.0, 30.5))
    assert (x, y) == pytest.approx((40.0, 30.5), abs=1.0)
    assert snap(rgb, (20.0, 30.0)) == (20.0, 30.0)
    assert snap(rgb, (35.0, 30.0), reach=0) == (35.0, 30.0)


def test_where_there_is_no_edge_the_cut_runs_straight() -> None:
    part = along(np.full((100, 100, 3), 128, np.uint8), (10.0, 20.0), (90.0, 70.0))
    straight = np.array([80.0, 50.0]) / np.hypot(80, 50)
    off = (part - (10.0, 20.0)) @ np.array([-straight[1], straight[0]])
    assert np.abs(off).max() < 0.75
    assert tuple(part[0]) == (10.0, 20.0)
    assert tuple(part[-1]) == (90.0, 70.0)


def test_a_cut_looks_at_a_strip_only_however_large_the_picture() -> None:
    line, _, rgb = thing(2)
    a, b = [(float(x), float(y)) for x, y in line[[0, 250]]]
    part = along(rgb, a, b)
    large = np.pad(rgb, ((0, 1600), (0, 1600), (0, 0)), mode="edge")
    again = along(large, a, b)
    assert (part == again).all()


@given(st.integers(0, 10_000), st.integers(2, 12), st.integers(2, 12))
@settings(max_examples=40, deadline=None)
def test_no_path_costs_less_than_the_lightest(seed: int, width: int, height: int) -> None:
    cost = np.random.default_rng(seed).integers(1, 256, (height, width), np.uint8)
    path = lightest_path(cost, 0, 0, width - 1, height - 1)
    ys, xs = path // width, path % width
    steps = np.where((np.diff(ys) != 0) & (np.diff(xs) != 0), 7, 5)
    assert (np.maximum(np.abs(np.diff(ys)), np.abs(np.diff(xs))) == 1).all()
    found = int((steps * cost[ys, xs][1:]).sum())
    # Bellman and Ford's algorithm on the same grid.
    best = np.full((height + 2, width + 2), 1 << 40)
    best[1, 1] = 0
    for _ in range(width * height):
        before = best.copy()
        for dy in (-1, 0, 1):
            for dx in (-1, 0, 1):
                if dy or dx:
                    came = best[1 + dy : height + 1 + dy, 1 + dx : width + 1 + dx]
                    step = cost.astype(np.int64) * (7 if dy and dx else 5)
                    best[1:-1, 1:-1] = np.minimum(best[1:-1, 1:-1], came + step)
        if (best == before).all():
            break
    assert found == best[height, width]


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([], "0 points"),
        ([(1, 1), (5, 5)], "2 points"),
        ([(1, 1), (5, 5), (5, 5), (1, 1)], "2 points"),
        ([(1, 1), (5, 5), (500, 5)], "500"),
        ([(1, 1), (5, float("nan")), (9, 5)], "nan"),
    ],
)
def test_points_that_enclose_nothing_are_refused(points: list[tuple[float, float]], said: str) -> None:
    with pytest.raises(CutError, match=said):
        knife(np.zeros((20, 20, 3), np.uint8), points)


def disc_points(off: float) -> tuple[NDArray[np.uint8], list[tuple[float, float]]]:
    """A disc of radius 80 and twelve points on its edge, of which one lies farther out."""
    y, x = np.mgrid[:240, :240] + 0.5
    rgb = np.where((np.hypot(x - 120, y - 120) < 80)[..., None], [200, 190, 170], [90, 20, 15])
    turn = np.arange(12) * np.pi / 6 + 0.1
    far = np.where(np.arange(12) == 4, 80 + off, 80.0)
    points = [
        (float(120 + r * np.cos(a)), float(120 + r * np.sin(a))) for a, r in zip(turn, far, strict=True)
    ]
    return rgb.astype(np.uint8), points


@pytest.mark.parametrize("off", [9, 10, 11])
def test_a_point_set_beyond_reach_of_the_edge_leaves_no_hair(off: float) -> None:
    rgb, points = disc_points(off)
    y, x = np.mgrid[:240, :240] + 0.5
    alpha = blade(knife(rgb, points), 240, 240)
    assert alpha[np.hypot(x - 120, y - 120) > 80 + 4].max() == 0
    assert alpha.sum() / 255 == pytest.approx(np.pi * 80**2, rel=0.01)


def test_points_whose_line_crosses_itself_are_refused() -> None:
    rgb, points = disc_points(0)
    points[2], points[7] = points[7], points[2]
    with pytest.raises(CutError, match="crosses itself: the line from point 2 meets the line from point 8"):
        knife(rgb, points)


@given(st.integers(0, 10_000))
@settings(max_examples=10, deadline=None)
def test_between_points_the_cut_strays_by_a_quarter_of_the_way_at_most(seed: int) -> None:
    rgb = np.random.default_rng(seed).integers(0, 256, (90, 120, 3), np.uint8)
    part = along(rgb, (20.0, 45.0), (100.0, 45.0))
    # Half a pixel and the search across for the ridge come to it.
    assert np.abs(part[:, 1] - 45.0).max() <= 0.25 * 80 + 3


def test_points_on_one_line_enclose_nothing() -> None:
    with pytest.raises(CutError, match="enclose nothing"):
        knife(np.zeros((20, 20, 3), np.uint8), [(2, 2), (8, 8), (14, 14)], reach=0)


def test_a_picture_of_one_pixel_can_be_cut() -> None:
    curves = knife(np.zeros((1, 1, 3), np.uint8), [(0, 0), (1, 0), (1, 1), (0, 1)], reach=0)
    assert blade(curves, 1, 1)[0, 0] > 230


def crossing_hand(seed: int) -> tuple[Real, NDArray[np.uint8], list[tuple[float, float]]]:
    """A thing, and points on its edge a pixel apart, as a trembling hand sets them: on whole pixels."""
    line, _, rgb = thing(seed)
    every = line[::4]
    hand = np.rint(every + np.random.default_rng(seed).normal(0, 0.8, every.shape))
    return line, rgb, [(float(x), float(y)) for x, y in hand]


@pytest.mark.parametrize("seed", range(4))
def test_points_a_pixel_apart_that_go_back_and_forth_are_one_line(seed: int) -> None:
    line, rgb, points = crossing_hand(seed)
    assert apart(flatten(knife(rgb, points), 0.02), line).max() <= 0.5


def test_a_crossing_among_close_points_is_told_by_the_numbers_of_those_that_were_given() -> None:
    _, rgb, points = crossing_hand(1)
    half = len(points) // 2
    points[half // 2 : half] = points[half // 2 : half][::-1]
    with pytest.raises(CutError, match=r"from point (\d+) meets the line from point (\d+)") as told:
        knife(rgb, points)
    first, second = (int(word) for word in told.value.found.split() if word.isdigit())
    assert abs(first - half // 2) <= 8
    assert abs(second - half) <= 8


def test_a_loop_cut_as_drawn_is_the_loop() -> None:
    _, _, rgb = thing(5)
    star = [
        (200 + r * np.cos(t), 200 + r * np.sin(t))
        for t, r in zip(np.arange(10) * np.pi / 5, [150, 60] * 5, strict=True)
    ]
    piece = cut(rgb, Recipe(loop=star[::-1], edge="knife", as_drawn=True))
    laid = np.zeros((400, 400))
    x, y, w, h = piece.box
    laid[y : y + h, x : x + w] = piece.rgba[..., 3] / 255
    assert np.abs(laid - coverage([np.array(star)], 400, 400)).max() <= 0.5 / 255 + 1e-9
    own = cut(rgb, Recipe(loop=[(0, 0), (9, 0), (9, 9)], knife=star, edge="knife", as_drawn=True))
    assert (own.rgba == piece.rgba).all()


def test_a_knife_without_an_edge_to_follow_says_so() -> None:
    y, x = np.mgrid[:200, :240] + 0.5
    grain = np.random.default_rng(2).normal(0, 4, (200, 240, 3))
    disc = (np.hypot(x - 120, y - 100) < 60)[..., None]
    points = [(120 + 60 * np.cos(t), 100 + 60 * np.sin(t)) for t in np.arange(12) * np.pi / 6]
    for step, told in ((1.0, True), (12.0, False)):
        rgb = np.clip(120 + step * disc + grain, 0, 255).astype(np.uint8)
        recipe = Recipe(knife=points, edge="knife")
        said = [d for d in doubts(rgb, recipe, cut(rgb, recipe)) if "no edge can be seen" in d.found]
        assert bool(said) == told
        drawn = recipe.model_copy(update={"as_drawn": True})
        assert not doubts(rgb, drawn, cut(rgb, drawn))
