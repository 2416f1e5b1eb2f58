"""Cut lines, held to shapes whose size is known."""

from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from splitpin.cutout.coverage import coverage
from splitpin.cutout.curves import area, evaluate, flatten
from splitpin.cutout.mistake import CutError
from splitpin.cutout.outline import Outline, outline, svg, svg_path

Real = NDArray[np.float64]
MM = 25.4 / 300
"""The size of a pixel of a scan at 300 ppi."""


def circle(radius: float, x: float, y: float, clockwise: bool = True) -> Real:
    t = np.linspace(0, 2 * np.pi, 4000, endpoint=False) * (1 if clockwise else -1)
    return np.stack([x + radius * np.cos(t), y + radius * np.sin(t)], axis=1)


def alpha_of(loops: list[Real], width: int, height: int) -> NDArray[np.uint8]:
    return np.rint(coverage(loops, width, height) * 255).astype(np.uint8)


def off_circle(found: Outline, k: int, x: float, y: float, radius_mm: float) -> Real:
    points = found.loops[k].polygon(0.001)
    return np.asarray(np.hypot(*(points - (x * MM, y * MM)).T) - radius_mm)


@given(st.floats(20, 60), st.floats(-0.5, 0.5), st.floats(-0.5, 0.5), st.sampled_from([0.03, 0.1, 0.25]))
@settings(max_examples=15, deadline=None)
def test_the_line_round_a_disc_lies_within_the_tolerance(r: float, dx: float, dy: float, mm: float) -> None:
    found = outline(alpha_of([circle(r, 70 + dx, 72 + dy)], 140, 145), MM, mm)
    assert len(found.loops) == 1
    assert np.abs(off_circle(found, 0, 70 + dx, 72 + dy, r * MM)).max() <= mm


@given(st.floats(-2.0, 3.0), st.sampled_from([0.05, 0.1]))
@example(-1.797, 0.05)
@example(2.577, 0.1)
@settings(max_examples=8, deadline=None)
def test_a_margin_adds_its_width_to_a_disc_and_takes_it_from_its_hole(margin: float, mm: float) -> None:
    loops = [circle(120, 150, 160), circle(60, 150, 160, clockwise=False)]
    found = outline(alpha_of(loops, 300, 310), MM, mm, margin)
    outer, hole = off_circle(found, 0, 150, 160, 0), off_circle(found, 1, 150, 160, 0)
    assert np.abs(outer - (120 * MM + margin)).max() <= mm
    assert np.abs(hole - (60 * MM - margin)).max() <= mm
    # The mean radius shows that the margin itself is right, not only inside the tolerance.
    assert abs(outer.mean() - 120 * MM - margin) < 0.2 * mm
    assert [loop.hole for loop in found.loops] == [False, True]


def test_a_square_keeps_its_corners_and_its_straight_sides() -> None:
    alpha = np.zeros((60, 80), np.uint8)
    alpha[10:50, 12:71] = 255
    found = outline(alpha, 1.0, 0.5)
    polygon = found.loops[0].polygon(0.01)
    corners = np.array([(12, 10), (71, 10), (71, 50), (12, 50)], float)
    assert np.max(cKDTree(polygon).query(corners)[0]) < 0.75
    assert abs(abs(area(polygon)) - 59 * 40) < 6
    assert len(found.loops[0].curves) <= 12


def test_a_margin_round_a_square_is_rounded_at_its_corners() -> None:
    alpha = np.zeros((60, 80), np.uint8)
    alpha[20:40, 20:60] = 255
    polygon = outline(alpha, 1.0, 0.2, 8.0).loops[0].polygon(0.01)
    dx = np.maximum(np.maximum(20 - polygon[:, 0], polygon[:, 0] - 60), 0)
    dy = np.maximum(np.maximum(20 - polygon[:, 1], polygon[:, 1] - 40), 0)
    assert np.abs(np.hypot(dx, dy) - 8.0).max() <= 0.5  # the edge's own corners are round by half a pixel


def test_a_piece_that_reaches_the_border_of_its_picture_ends_there() -> None:
    found = outline(np.full((30, 40), 255, np.uint8), 1.0, 0.1)
    x0, y0, x1, y1 = found.box
    assert (x0, y0, x1, y1) == pytest.approx((0, 0, 40, 30), abs=0.1)


def test_dust_and_pinholes_smaller_than_the_tolerance_are_left_out() -> None:
    alpha = alpha_of([circle(40, 60, 60)], 120, 120)
    alpha[60, 60] = 0
    alpha[5, 5] = 255
    assert len(outline(alpha, 1.0, 1.5).loops) == 1
    assert len(outline(alpha, 1.0, 0.2).loops) == 3


def test_curves_join_one_another() -> None:
    for loop in outline(alpha_of([circle(40, 60, 60)], 120, 120), 1.0, 0.2).loops:
        assert np.allclose(loop.curves[:, 3], np.roll(loop.curves[:, 0], -1, axis=0))


def test_a_polygon_of_curves_keeps_to_them() -> None:
    curve = np.array([[0.0, 0], [0, 30], [40, 30], [40, 0]])
    exact = evaluate(curve, np.linspace(0, 1, 4000))
    polygon = np.vstack([flatten(curve[None], 0.05), curve[3]])
    steps = np.linspace(0, 1, 200)[:, None]
    dense = np.concatenate([p + (q - p) * steps for p, q in pairwise(polygon)])
    assert np.max(cKDTree(dense).query(exact)[0]) <= 0.05


def test_the_drawing_is_at_true_size_in_millimetres() -> None:
    found = outline(alpha_of([circle(100, 150, 150)], 300, 300), MM, 0.05, 2.0)
    drawing = ElementTree.fromstring(svg(found, "cat & <mouse>"))  # noqa: S314
    width = float(drawing.attrib["width"].removesuffix("mm"))
    assert width == pytest.approx(2 * (100 * MM + 2.0) + 2, abs=0.2)
    assert drawing.attrib["viewBox"].split()[2] == f"{width:.3f}"
    assert svg_path(found).count("Z") == 1


@pytest.mark.parametrize(
    ("alpha", "mm", "tolerance", "margin", "said"),
    [
        (np.zeros((9, 9), np.uint8), 0.1, 0.1, 0.0, "nothing that is not transparent"),
        (np.full((9, 9), 255, np.uint8), 0.1, 0.1, -1.0, "leaves nothing"),
        (np.full((9, 9), 255, np.uint8), 0.1, 0.1, 1e5, "100000 mm around"),
        (np.full((9, 9), 255, np.uint8), 1e-3, 1e-3, 40.0, "pixels"),
        (np.full((9, 9), 255, np.uint8), 0.1, 0.0, 0.0, "tolerance"),
        (np.full((9, 9), 255, np.uint8), 0.1, 0.1, float("nan"), "margin"),
    ],
)
def test_what_has_no_cut_line_is_refused(
    alpha: NDArray[np.uint8], mm: float, tolerance: float, margin: float, said: str
) -> None:
    with pytest.raises(CutError, match=said):
        outline(alpha, mm, tolerance, margin)


@given(st.floats(3, 30), st.floats(-10, 50), st.floats(-10, 50))
@settings(max_examples=30)
def test_coverage_adds_up_to_the_area_inside_the_picture(r: float, x: float, y: float) -> None:
    t = np.linspace(0, 2 * np.pi, 7, endpoint=False)
    loop = np.stack([x + r * np.cos(t), y + r * np.sin(t)], axis=1)
    fine = np.indices((400, 400))[::-1].reshape(2, -1).T / 10 + 0.05
    way = np.roll(loop, -1, axis=0) - loop
    sides = [w[0] * (fine[:, 1] - p[1]) - w[1] * (fine[:, 0] - p[0]) for p, w in zip(loop, way, strict=True)]
    counted = (np.array(sides) >= 0).all(axis=0).reshape(40, 10, 40, 10).mean(axis=(1, 3))
    assert np.abs(coverage([loop], 40, 40) - counted).max() < 0.08


def parts() -> NDArray[np.uint8]:
    """Two squares 10 mm apart at 0.5 mm a pixel, one with a hole 8 mm wide."""
    alpha = np.zeros((100, 180), np.uint8)
    alpha[20:80, 20:80] = 255
    alpha[42:58, 42:58] = 0
    alpha[20:80, 100:160] = 255
    return alpha


@pytest.mark.parametrize(("margin", "outer", "holes"), [(0.0, 2, 1), (3.0, 2, 1), (4.5, 2, 0), (6.0, 1, 0)])
def test_lines_that_a_margin_joins_and_holes_that_it_closes_are_counted(
    margin: float, outer: int, holes: int
) -> None:
    found = outline(parts(), 0.5, margin=margin)
    assert (found.parts, found.holes) == (2, 1)
    assert sum(not loop.hole for loop in found.loops) == outer
    assert sum(loop.hole for loop in found.loops) == holes


def test_a_margin_wider_than_the_piece_is_refused_at_once() -> None:
    with pytest.raises(CutError, match="500 mm around a picture of 90"):
        outline(parts(), 0.5, margin=500.0)
    assert outline(parts(), 0.5, margin=60.0).loops
