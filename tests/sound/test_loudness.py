"""Loudness and true peak, against the minimum signals of EBU Tech 3341 and 3342 and against another meter."""

from __future__ import annotations

from math import inf

import numpy as np
import pyloudnorm
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitpin.sound.loudness import Meter, measured
from splitpin.sound.oversample import AFTER, BEFORE, WORST, point_peaks, regrouped
from splitpin.sound.source import SAMPLING, Sound


def tone(seconds: float, db: float, hertz: float = 1_000.0, degrees: float = 0.0) -> Sound:
    """A sine in phase on both sides; the level is its peak."""
    n = np.arange(round(seconds * SAMPLING))
    wave = 10 ** (db / 20) * np.sin(2 * np.pi * hertz / SAMPLING * n + np.radians(degrees))
    return np.repeat(wave.astype(np.float32)[:, None], 2, axis=1)


def tones(*parts: tuple[float, float]) -> Sound:
    return np.concatenate([tone(*part) for part in parts])


def programme(seed: int, seconds: int) -> Sound:
    """Noise whose level wanders over 30 dB, ten times a second."""
    rng = np.random.default_rng(seed)
    levels = np.repeat(10 ** (rng.uniform(-30, 0, seconds * 10) / 20), SAMPLING // 10)
    return (rng.standard_normal((len(levels), 2)) * 0.1 * levels[:, None]).astype(np.float32)


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ([(20, -23)], -23.0),
        ([(20, -33)], -33.0),
        ([(10, -36), (60, -23), (10, -36)], -23.0),
        ([(10, -72), (10, -36), (60, -23), (10, -36), (10, -72)], -23.0),
        ([(20, -26), (20.1, -20), (20, -26)], -23.0),
    ],
    ids=["1", "2", "3", "4", "5"],
)
def test_integrated_loudness_of_the_minimum_signals(
    parts: list[tuple[float, float]], expected: float
) -> None:
    """EBU Tech 3341 v4, table 1, signals 1 to 5, read second-hand."""
    assert measured([tones(*parts)]).integrated == pytest.approx(expected, abs=0.1)


@pytest.mark.parametrize(
    ("fraction", "peak", "degrees", "expected"),
    [
        (4, 0.50, 0, -6.0),
        (4, 0.50, 45, -6.0),
        (6, 0.50, 60, -6.0),
        (8, 0.50, 67.5, -6.0),
        (4, 1.41, 45, 3.0),
    ],
    ids=["15", "16", "17", "18", "19"],
)
def test_true_peak_of_the_minimum_signals(
    fraction: int, peak: float, degrees: float, expected: float
) -> None:
    """EBU Tech 3341 v4, table 1, signals 15 to 19, +0.2/-0.4 dB, read second-hand."""
    sound = tone(2, 20 * np.log10(peak), SAMPLING / fraction, degrees)
    # The signals have no hard edge, which would ring between the samples.
    ramp = np.minimum(1.0, np.arange(len(sound)) / 4_800)[:, None]
    found = measured([(sound * ramp * ramp[::-1]).astype(np.float32)]).true_peak
    assert expected - 0.4 <= found <= expected + 0.2


@pytest.mark.parametrize(("first", "second", "expected"), [(-20, -30, 10), (-20, -15, 5), (-40, -20, 20)])
def test_loudness_range_of_the_minimum_signals(first: float, second: float, expected: float) -> None:
    """EBU Tech 3342, signals 1 to 3, +-1 LU, read second-hand."""
    assert measured([tones((20, first), (20, second))]).range == pytest.approx(expected, abs=1)


def test_a_full_scale_tone_in_one_channel_is_minus_3_01() -> None:
    """ITU-R BS.1770, annex 1: 997 Hz at 0 dBFS, from memory."""
    sound = tone(10, 0, 997)
    sound[:, 1] = 0
    assert measured([sound]).integrated == pytest.approx(-3.01, abs=0.01)


@pytest.mark.parametrize("seed", range(4))
def test_random_programme_measures_as_on_another_meter(seed: int) -> None:
    """pyloudnorm with its filter class "DeMan", whose values come from the same tables."""
    sound = programme(seed, 12)
    theirs = pyloudnorm.Meter(SAMPLING, "DeMan").integrated_loudness(sound.astype(np.float64))
    assert measured([sound]).integrated == pytest.approx(theirs, abs=0.01)


@settings(max_examples=20)
@given(st.lists(st.integers(0, 30_000), min_size=1, max_size=8), st.integers(0, 99))
def test_the_size_of_the_blocks_never_shows_in_a_single_bit(sizes: list[int], seed: int) -> None:
    sound = programme(seed, 3)
    ends = np.minimum(np.cumsum(sizes), len(sound)).tolist()
    pieces = np.split(sound, ends)
    one, many = measured([sound]), measured(pieces)
    assert np.array_equal(one.cells, many.cells)
    assert np.array_equal(one.peaks, many.peaks)
    assert (one.integrated, one.range, one.true_peak) == (many.integrated, many.range, many.true_peak)


@settings(max_examples=20)
@given(st.floats(-30, 20), st.integers(0, 99))
def test_loudness_and_peak_follow_the_gain(gain: float, seed: int) -> None:
    sound = programme(seed, 3)
    plain, louder = measured([sound]), measured([(sound * 10 ** (gain / 20)).astype(np.float32)])
    assert louder.true_peak == pytest.approx(plain.true_peak + gain, abs=1e-3)
    # The gate at -70 LUFS stands still, so only loud programme follows exactly.
    assert louder.integrated == pytest.approx(plain.integrated + gain, abs=0.05)


def test_a_tone_of_one_level_has_that_momentary_and_short_term_loudness_and_no_range() -> None:
    meter = measured([tone(6, -23)])
    assert len(meter.momentary) == 60 - 3
    assert len(meter.short_term) == 60 - 29
    np.testing.assert_allclose(meter.momentary, -23, atol=0.1)
    np.testing.assert_allclose(meter.short_term, -23, atol=0.1)
    assert meter.range == pytest.approx(0, abs=0.01)


@pytest.mark.parametrize("samples", [0, 1, 100, 19_199, 200_000])
def test_silence_of_any_length_has_no_loudness_no_peak_and_no_range(samples: int) -> None:
    meter = measured([np.zeros((samples, 2), dtype=np.float32)])
    assert (meter.integrated, meter.true_peak, meter.range) == (-inf, -inf, 0.0)
    assert meter.samples == samples


def test_a_peak_in_the_last_sample_is_seen() -> None:
    sound = np.zeros((10_001, 2), dtype=np.float32)
    sound[-1] = 0.5
    assert measured([sound]).true_peak == pytest.approx(-6.02, abs=0.01)


def test_the_meter_keeps_two_numbers_for_10_ms_and_nothing_of_the_sound() -> None:
    meter = Meter()
    for _ in range(100):
        meter.push(tone(0.1, -20))
    assert len(meter.cells) == len(meter.peaks) == 1_000


@settings(max_examples=30)
@given(st.integers(0, 999))
def test_no_point_between_samples_is_over_the_bound_that_spares_the_reckoning(seed: int) -> None:
    rng = np.random.default_rng(seed)
    sound = rng.choice([-1.0, 1.0], (2, 400)).astype(np.float32)
    assert point_peaks(sound).max() <= WORST


@settings(max_examples=30)
@given(st.floats(20, 20_000), st.floats(0, 360))
def test_the_points_between_samples_lie_on_the_wave(hertz: float, degrees: float) -> None:
    """Four points a sample of a sine, calculated; the filter is flat within 0.11 dB."""
    sound = tone(0.05, 0, hertz, degrees)
    points = np.arange(BEFORE * 4, (len(sound) - AFTER) * 4) / 4
    wave = np.abs(np.sin(2 * np.pi * hertz / SAMPLING * points + np.radians(degrees)))
    expected = wave.reshape(-1, 4).max(axis=1)
    np.testing.assert_allclose(point_peaks(np.ascontiguousarray(sound.T)), expected, atol=0.03)


@given(st.lists(st.integers(0, 50), max_size=10), st.integers(1, 40))
def test_regrouped_blocks_are_the_same_samples_in_even_blocks(sizes: list[int], size: int) -> None:
    total = sum(sizes)
    sound = np.arange(2 * total, dtype=np.float32).reshape(-1, 2)
    blocks = list(regrouped(iter(np.split(sound, np.cumsum(sizes)[:-1])), size)) if sizes else []
    assert all(len(block) == size for block in blocks[:-1])
    joined = np.concatenate(blocks) if blocks else np.zeros((0, 2), dtype=np.float32)
    assert np.array_equal(joined, sound)
