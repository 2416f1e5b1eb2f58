"""Paper becomes white, ink black; steps are done in their order; real detail is measured."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from tests.halftone import photo

from splitpin.measure.light import light_table, signal_table
from splitpin.picture.detail import blur, detail
from splitpin.picture.find_fit import Wanted, find_fit, pair
from splitpin.picture.fit import Fit, fitted
from splitpin.picture.points import Points, levelled, points

Rgb = NDArray[np.uint8]


def yellowed() -> Rgb:
    """A photograph printed with weak ink on yellowed paper, with margins."""
    page = np.full((500, 650, 3), 255, np.uint8)
    page[100:400, 100:551] = photo("chelsea")
    light = light_table()[page] / 65535
    paper, ink = light_table()[[232, 220, 190]] / 65535, light_table()[[30, 26, 28]] / 65535
    return signal_table()[np.rint((ink + light * (paper - ink)) * 65535).astype(np.uint16)]


def test_yellowed_paper_becomes_white_and_weak_ink_black() -> None:
    scan = yellowed()
    found = points(scan)
    assert found.white == pytest.approx((232, 220, 190), abs=2)
    assert max(found.black) < 50
    fresh = levelled(scan, found)
    assert fresh[20, 20].tolist() == pytest.approx([255, 255, 255], abs=1)


def test_a_photograph_without_bare_paper_keeps_its_white() -> None:
    assert points(photo("chelsea")).white == (255.0, 255.0, 255.0)


def test_a_blue_sky_is_not_paper() -> None:
    sky = np.full((300, 400, 3), (146, 186, 241), np.uint8)
    sky[200:] = (90, 110, 60)
    assert points(sky).white == (255.0, 255.0, 255.0)


def test_a_wall_with_a_lamp_before_it_is_not_paper() -> None:
    wall = np.full((300, 400, 3), (217, 207, 205), np.uint8)
    wall[100:150, 100:150] = 250
    assert points(wall).white == (255.0, 255.0, 255.0)


@pytest.mark.parametrize("ink", [(60, 70, 110), (60, 30, 25)])
def test_coloured_ink_keeps_its_colour(ink: tuple[int, int, int]) -> None:
    page = np.full((300, 400, 3), (236, 232, 220), np.uint8)
    page[100:150, 100:200] = ink
    assert points(page).black == (0.0, 0.0, 0.0)
    assert points(page).white == (236.0, 232.0, 220.0)


@given(st.integers(0, 255))
def test_points_at_the_ends_change_nothing(tone: int) -> None:
    plain = np.full((2, 2, 3), tone, np.uint8)
    assert np.array_equal(levelled(plain, Points((0, 0, 0), (255, 255, 255))), plain)


@given(st.tuples(*[st.floats(0, 255)] * 3), st.tuples(*[st.floats(0, 255)] * 3))
def test_levels_never_turn_tones_round(
    black: tuple[float, float, float], white: tuple[float, float, float]
) -> None:
    ramp = np.arange(256, dtype=np.uint8)[None, :, None].repeat(3, 2)
    assert (np.diff(levelled(ramp, Points(black, white)).astype(int), axis=1) >= 0).all()


def test_no_steps_give_the_scan_itself() -> None:
    cat = photo("chelsea")
    assert fitted(cat, Fit()) is cat
    assert Fit().idle


def test_a_crop_is_taken_from_the_straightened_picture() -> None:
    cat = photo("chelsea")
    whole = fitted(cat, Fit(straighten=3.0))
    part = fitted(cat, Fit(straighten=3.0, crop=(40, 50, 100, 80)))
    assert np.array_equal(part, whole[50:130, 40:140])


def test_a_crop_past_the_picture_is_cut_to_it_and_never_empty() -> None:
    cat = photo("chelsea")
    assert fitted(cat, Fit(crop=(400, 250, 1000, 1000))).shape == (50, 51, 3)
    assert fitted(cat, Fit(crop=(9000, 9000, 5, 5))).shape == (1, 1, 3)


def test_fitting_is_the_same_every_time() -> None:
    scan = yellowed()
    fit = find_fit(scan, Wanted()).fit
    assert fit == find_fit(scan, Wanted()).fit
    assert np.array_equal(fitted(scan, fit), fitted(scan, fit))


def test_before_and_after_show_both_and_the_dots_large() -> None:
    scan = yellowed()
    found = find_fit(scan, Wanted())
    shown = pair(scan, found, fitted(scan, found.fit))
    assert shown.shape[1] > 2 * 600
    assert shown.dtype == np.uint8


@pytest.mark.parametrize("shape", [(1, 1), (1, 40), (5, 3)])
def test_the_smallest_pictures_are_fit_as_they_are(shape: tuple[int, int]) -> None:
    tiny = np.full((*shape, 3), 90, np.uint8)
    assert np.array_equal(fitted(tiny, find_fit(tiny, Wanted()).fit), tiny)


@pytest.mark.parametrize("sigma", [1.5, 2.0, 3.0])
def test_the_blur_of_a_soft_edge_is_measured_within_a_sixth(sigma: float) -> None:
    edge = np.zeros((120, 120, 3))
    edge[:, 60:] = 1.0
    # the measure works on the square root of light: the edge is blurred there
    root = cv2.GaussianBlur(edge, (0, 0), sigma)
    picture = signal_table()[np.rint((0.1 + 0.8 * root) ** 2 * 65535).astype(np.uint16)]
    assert blur(picture) == pytest.approx(sigma, rel=1 / 6)


def test_a_sharp_photograph_has_a_real_pixel_to_a_pixel_and_an_enlarged_one_has_not() -> None:
    cat = photo("chelsea")
    twice = np.asarray(cv2.resize(cat, None, fx=3, fy=3, interpolation=cv2.INTER_CUBIC), np.uint8)
    assert detail(cat).pitch < 1.3
    assert 2.2 < detail(twice).pitch < 4.5


def test_a_screen_holds_two_details_to_a_cell_whatever_the_sharpness_of_its_dots() -> None:
    cat = photo("chelsea")
    assert detail(cat, cell=7.0) == (3.5, "screen")
    assert detail(cat, cell=7.0).ppi(600) == pytest.approx(171.4, abs=0.1)


def test_a_scan_is_told_to_look_soft_only_where_it_does() -> None:
    cat = photo("chelsea")
    large = np.asarray(cv2.resize(cat, None, fx=3, fy=3, interpolation=cv2.INTER_CUBIC), np.uint8)
    assert find_fit(cat, Wanted()).soft is None
    assert find_fit(large, Wanted()).soft == pytest.approx(3.4, abs=0.6)
    assert find_fit(np.full((300, 300, 3), 200, np.uint8), Wanted()).soft is None


def test_what_has_no_edges_is_never_called_soft() -> None:
    assert detail(np.full((300, 300, 4), 200, np.uint8)).pitch == 1.0
    assert detail(np.zeros((1, 1, 4), np.uint8)).pitch == 1.0
