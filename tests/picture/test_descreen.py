"""Screens of print are found in the spectrum, and their dots become tones."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from tests.halftone import ANGLES, Print, photo, printed, psnr

from splitpin.measure.light import to_light, to_signal
from splitpin.picture.descreen import Screen, descreen
from splitpin.picture.screens import dot_power, screens

PPI = 600


@cache
def portrait(lpi: int) -> Print:
    part = photo("camera")[156:356, 156:356]
    return printed(np.asarray(cv2.resize(part, None, fx=2, fy=2), np.uint8), lpi, PPI)


@pytest.mark.parametrize("lpi", [85, 133, 150])
def test_every_screen_is_found_within_a_half_percent_and_a_half_degree(lpi: int) -> None:
    found = screens(portrait(lpi).scan)
    assert len(found) == 4
    for screen in found:
        assert PPI / screen.cell == pytest.approx(lpi, rel=0.005)
    angles = sorted((s.angle + 45.5) % 90 for s in found)
    assert angles == pytest.approx(sorted((a + 45.5) % 90 for a in ANGLES), abs=0.5)


@pytest.mark.parametrize(("name", "lpi"), [("rocket", 30), ("rocket", 50), ("rocket", 65), ("coffee", 65)])
def test_an_overtone_that_stands_out_more_than_the_screen_is_not_taken_for_it(name: str, lpi: int) -> None:
    # small dots, in dark or light tones: the overtone turned by 45 degrees stands out most
    part = np.asarray(cv2.resize(photo(name)[:400, :400], (520, 520)), np.uint8)
    if name == "coffee":
        part = (255 - (255 - part.astype(int)) * 0.35).astype(np.uint8)
    found = screens(printed(part, lpi, PPI).scan)
    assert len(found) >= 3
    for screen in found:
        assert PPI / screen.cell == pytest.approx(lpi, rel=0.005)
        assert min(abs((screen.angle - a + 45) % 90 - 45) for a in ANGLES) < 0.5


@pytest.mark.parametrize("lpi", [85, 150])
def test_dots_sink_by_20_decibels_and_the_picture_beats_the_best_gaussians(lpi: int) -> None:
    scan, truth = portrait(lpi)
    found = screens(scan)
    tones = descreen(scan, found)
    assert all(dot_power(scan, s) - dot_power(tones, s) >= 20 for s in found)
    light = to_light(scan / 255).astype(np.float32)
    widths = [k * PPI / lpi for k in (0.25, 0.33, 0.4, 0.5, 0.6)]
    in_light = max(
        psnr(to_signal(np.clip(cv2.GaussianBlur(light, (0, 0), w), 0, 1)) * 255, truth) for w in widths
    )
    in_srgb = max(psnr(cv2.GaussianBlur(scan.astype(np.float32), (0, 0), w), truth) for w in widths)
    assert psnr(tones, truth) > in_light
    assert psnr(tones, truth) >= in_srgb + 4


@pytest.mark.parametrize("name", ["chelsea", "coffee", "rocket", "brick", "camera", "grass", "page", "text"])
def test_pictures_that_were_never_printed_have_no_screens(name: str) -> None:
    assert screens(photo(name)) == []


@pytest.mark.parametrize("name", ["chelsea", "camera", "page", "gravel"])
@pytest.mark.parametrize("times", [2.0, 2.5, 4.0])
@pytest.mark.parametrize("how", [cv2.INTER_NEAREST, cv2.INTER_LINEAR, cv2.INTER_CUBIC])
def test_the_grid_of_an_enlarged_picture_is_no_screen(name: str, times: float, how: int) -> None:
    part = photo(name)[:280, :280]
    large = np.asarray(cv2.resize(part, None, fx=times, fy=times, interpolation=how), np.uint8)
    assert screens(large) == []


@pytest.mark.parametrize("times", [2.0, 3.0, 4.0])
def test_the_grid_of_enlarged_noise_of_two_tones_is_no_screen(times: float) -> None:
    tones = np.random.default_rng(4).choice(np.array([30, 225], np.uint8), (300, 300, 1), p=[0.4, 0.6])
    noise = tones.repeat(3, 2)
    large = cv2.resize(noise, None, fx=times, fy=times, interpolation=cv2.INTER_CUBIC)
    assert screens(np.asarray(large, np.uint8)) == []


def test_a_picture_without_screens_stays_as_it_is_to_the_bit() -> None:
    cat = photo("chelsea")
    assert descreen(cat, []) is cat


def test_the_number_of_workers_changes_no_bit() -> None:
    scan = portrait(150).scan[:90, :300]
    one = descreen(scan, [Screen(4.0, 45.0)], workers=1)
    assert np.array_equal(one, descreen(scan, [Screen(4.0, 45.0)], workers=3))


@given(st.integers(0, 255), st.integers(1, 40), st.integers(1, 40), st.floats(2, 20))
@settings(max_examples=20, deadline=None)
def test_a_plain_tone_of_any_size_stays_as_it_is(tone: int, height: int, width: int, cell: float) -> None:
    plain = np.full((height, width, 3), tone, np.uint8)
    assert np.abs(descreen(plain, [Screen(cell, 0.0)]).astype(int) - tone).max() <= 1


def test_the_mean_light_of_a_scan_is_kept() -> None:
    grey = np.full((160, 160, 3), 120, np.uint8)
    scan = printed(grey, 133).scan
    tones = descreen(scan, screens(scan) or [Screen(PPI / 133, 45.0)])
    inner: tuple[slice, slice] = (slice(20, -20), slice(20, -20))
    means = [to_signal(to_light(p[inner] / 255).mean((0, 1))) * 255 for p in (tones, scan)]
    assert means[0] == pytest.approx(means[1], abs=1.5)


@pytest.mark.parametrize("shape", [(1, 1), (1, 500), (63, 63), (600, 3)])
def test_small_pictures_and_plain_ones_have_no_screens(shape: tuple[int, int]) -> None:
    plain: NDArray[np.uint8] = np.full((*shape, 3), 77, np.uint8)
    assert screens(plain) == []
