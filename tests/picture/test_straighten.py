"""Scans that lie askew are set straight, by the page's edges or by lines of text."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from tests.halftone import photo

from splitpin.picture.straighten import page_box, tilt
from splitpin.picture.turn import straightened

Rgb = NDArray[np.uint8]


def turned(rgb: Rgb, angle: float, around: int) -> Rgb:
    """The picture turned anticlockwise by OpenCV's own matrix (angle positive is anticlockwise: its docs)."""
    height, width = rgb.shape[:2]
    m = cv2.getRotationMatrix2D(((width - 1) / 2, (height - 1) / 2), angle, 1.0)
    border = (around, around, around)
    return np.asarray(
        cv2.warpAffine(rgb, m, (width, height), flags=cv2.INTER_AREA, borderValue=border), np.uint8
    )


def page_on_lid(lid: int) -> Rgb:
    scan = np.full((900, 700, 3), lid, np.uint8)
    scan[130:770, 110:590] = (236, 230, 214)
    scan[250:550, 200:500] = photo("chelsea")[:300, :300]
    return scan


@settings(max_examples=12, deadline=None)
@given(st.floats(-8, 8), st.sampled_from([20, 90]))
def test_a_page_is_set_straight_by_its_edges_within_a_twentieth_of_a_degree(angle: float, lid: int) -> None:
    scan = turned(page_on_lid(lid), angle, lid)
    found = tilt(scan)
    assert found.by == "page"
    assert found.angle == pytest.approx(-angle, abs=0.05)


def test_the_page_is_what_is_kept() -> None:
    scan = turned(page_on_lid(30), 4.0, 30)
    found = tilt(scan)
    box = page_box(found, 700, 900, inset=0.0)
    assert box is not None
    assert box == pytest.approx((110, 130, 480, 640), abs=3)


def cream_page_on_a_white_lid(paper: tuple[int, int, int]) -> Rgb:
    """A photograph with text below it; the paper ends 60 pixels from the scan's edges."""
    page = np.full((780, 600, 3), paper, np.uint8)
    page[40:340, 70:521] = photo("chelsea")
    for top in range(400, 740, 30):
        words = "the cat sat on the wall and had no change"
        cv2.putText(page, words, (40, top), cv2.FONT_HERSHEY_SIMPLEX, 0.7, (40, 40, 40), 1, cv2.LINE_AA)
    scan = np.full((900, 720, 3), 250, np.uint8)
    scan[60:840, 60:660] = page
    return scan


@pytest.mark.parametrize("angle", [-3.0, 2.0])
def test_a_cream_page_on_a_white_lid_keeps_its_text_and_not_its_photograph_alone(angle: float) -> None:
    found = tilt(turned(cream_page_on_a_white_lid((245, 240, 228)), angle, 250))
    assert page_box(found, 720, 900, inset=0.0) == pytest.approx((60, 60, 600, 780), abs=3)
    assert found.angle == pytest.approx(-angle, abs=0.05)


def test_where_paper_cannot_be_told_from_the_lid_nothing_is_cropped_and_lines_set_it_straight() -> None:
    found = tilt(turned(cream_page_on_a_white_lid((251, 249, 246)), 2.0, 250))
    assert found.by == "lines"
    assert found.angle == pytest.approx(-2.0, abs=0.05)


def lines_of_words() -> Rgb:
    text = np.full((700, 900, 3), 225, np.uint8)
    for i, top in enumerate(range(120, 600, 34)):
        words = "the cat sat on the wall and had no change at all"[i % 5 : 40 + i % 7]
        cv2.putText(text, words, (120, top), cv2.FONT_HERSHEY_SIMPLEX, 0.8, (40, 40, 40), 2, cv2.LINE_AA)
    return text


@settings(max_examples=16, deadline=None)
@given(st.floats(-8, 8))
@example(0.0)
@example(0.11)
@example(-0.3)
def test_text_is_set_straight_by_its_lines_within_a_twentieth_of_a_degree(angle: float) -> None:
    found = tilt(turned(lines_of_words(), angle, 225))
    assert found.by == "lines"
    assert found.angle == pytest.approx(-angle, abs=0.05)


def test_turning_there_and_back_gives_the_middle_again() -> None:
    cat = np.asarray(cv2.GaussianBlur(photo("chelsea"), (0, 0), 2), np.uint8)
    back = straightened(straightened(cat, 5.0), -5.0)
    assert np.abs(back.astype(int) - cat)[60:-60, 60:-60].max() <= 6


@pytest.mark.parametrize("shape", [(1, 1), (40, 40), (300, 200), (2, 900)])
def test_a_plain_picture_is_not_turned(shape: tuple[int, int]) -> None:
    found = tilt(np.full((*shape, 3), 128, np.uint8))
    assert found.by == "nothing"
    assert found.angle == 0.0


@pytest.mark.parametrize("angle", [-3.0, 0.0, 1.0])
def test_lines_that_are_not_of_text_turn_nothing(angle: float) -> None:
    wall = turned(photo("brick"), angle, 120)[40:-40, 40:-40]
    blinds = np.full((600, 800, 3), 200, np.uint8)
    blinds[(np.arange(600) // 12) % 2 == 0] = 90
    house = np.full((600, 800, 3), (130, 170, 225), np.uint8)
    cv2.fillPoly(house, [np.array([[250, 560], [270, 200], [520, 215], [540, 560]])], (150, 110, 80))
    for scene in (wall, turned(blinds, angle, 200)[60:-60, 60:-60], house):
        assert tilt(np.ascontiguousarray(scene)).by == "nothing"


def test_a_photograph_without_edges_or_lines_is_not_turned() -> None:
    for photograph in (photo("chelsea"), photo("coffee"), photo("rocket")):
        assert tilt(photograph).angle == 0.0
