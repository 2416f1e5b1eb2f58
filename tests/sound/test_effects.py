"""The kit of effects: ready to be mixed, the same for the same seed, and what their names say."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from splitpin.sound.effects import (
    KIT,
    clink,
    coin_roll,
    mrow,
    music_bed,
    plinks,
    scrape,
    slide_whistle,
    whoosh,
)
from splitpin.sound.effects.craft import clock, coloured, string, wander
from splitpin.sound.effects.music import BEATS_A_BAR, BEATS_A_MINUTE, RESTS, hertz_of
from splitpin.sound.loudness import measured
from splitpin.sound.source import SAMPLING, Sound

NAMES = sorted(set(KIT) - {"music-bed"})


def pitch_of(wave: NDArray[np.floating], low: float, high: float) -> float:
    """The strongest frequency between two others, Hz."""
    size = 1 << 18
    spectrum = np.abs(np.fft.rfft(wave * np.hanning(len(wave)), size))
    hertz = np.fft.rfftfreq(size, 1 / SAMPLING)
    inside = (hertz >= low) & (hertz <= high)
    return float(hertz[inside][spectrum[inside].argmax()])


def period_of(wave: NDArray[np.floating]) -> int:
    """The first strong peak of the autocorrelation of a voice between 200 and 800 Hz, in samples."""
    like = np.correlate(wave, wave, "full")[len(wave) - 1 :]
    shortest = SAMPLING // 800
    inside = like[shortest : SAMPLING // 200]
    return int(np.flatnonzero(inside > 0.9 * inside.max())[0]) + shortest


def decibels_of(sound: Sound) -> float:
    return float(10 * np.log10(np.mean(np.square(sound.astype(np.float64))) + 1e-20))


@pytest.mark.parametrize("name", sorted(KIT))
def test_every_effect_is_stereo_and_finite_with_a_true_peak_of_minus_3(name: str) -> None:
    sound = KIT[name]()
    assert sound.dtype == np.float32
    assert sound.shape[1:] == (2,)
    assert np.isfinite(sound).all()
    assert measured([sound]).true_peak == pytest.approx(-3, abs=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_every_effect_is_heard_at_once_dies_away_and_leans_on_neither_side(name: str) -> None:
    sound = KIT[name]()
    early = np.abs(sound[: SAMPLING // 5]).max()
    assert early > 0.03
    assert np.abs(sound[-20:]).max() < 1e-3
    assert abs(decibels_of(sound[:, :1]) - decibels_of(sound[:, 1:])) < 4
    assert abs(sound.mean()) < 1e-3


@pytest.mark.parametrize("name", NAMES)
def test_the_same_seed_gives_the_same_bits_and_another_seed_another_sound(name: str) -> None:
    make = KIT[name]
    assert np.array_equal(make(), make())
    other = make(seed=1)
    assert other.shape != make().shape or not np.array_equal(other, make())


@settings(max_examples=10)
@given(st.integers(0, 2**31 - 1), st.floats(0.5, 4))
def test_sliding_and_rolling_last_as_long_as_they_are_told(seed: int, seconds: float) -> None:
    for sound in (scrape(seed, seconds), coin_roll(seed, seconds)):
        assert seconds - 0.12 <= len(sound) / SAMPLING <= seconds + 0.35
        assert measured([sound]).true_peak == pytest.approx(-3, abs=0.01)


def test_the_scale_of_the_coins_rises_to_its_octave() -> None:
    sound = plinks(0, 784.0, every=0.25).mean(axis=1)
    notes = [pitch_of(sound[k * 12_000 : k * 12_000 + 9_600], 600, 1_700) for k in range(8)]
    expected = [784.0 * 2 ** (s / 12) for s in (0, 2, 4, 5, 7, 9, 11, 12)]
    assert notes == pytest.approx(expected, rel=0.006)


def test_the_whistle_goes_from_where_to_where_it_is_told() -> None:
    up = slide_whistle(0, 1.0, 500, 1_500).mean(axis=1)
    assert pitch_of(up[1_000:5_000], 300, 3_000) == pytest.approx(500, rel=0.06)
    assert pitch_of(up[40_000:44_000], 300, 3_000) == pytest.approx(1_500, rel=0.06)


def test_the_cat_asks_with_its_voice_going_up_and_answers_with_it_going_down() -> None:
    for asks in (True, False):
        voice = mrow(0, 1.0, 430, asks).mean(axis=1)
        assert (period_of(voice[43_000:46_500]) < period_of(voice[26_000:30_000])) == asks


def test_the_coins_bounces_come_ever_sooner() -> None:
    sound = np.abs(clink(0, bounces=4).astype(np.float64)).max(axis=1)
    hits = [0]
    level = np.lib.stride_tricks.sliding_window_view(sound, 480).max(axis=1)
    for k in range(480, len(level) - 480):
        if level[k] > 1.25 * level[k - 240] and k - hits[-1] > 1_500:
            hits.append(k)
    gaps = [b - a for a, b in pairwise(hits)]
    assert len(gaps) == 3
    assert gaps == sorted(gaps, reverse=True)


def test_a_whoosh_crosses_to_the_side_it_is_told() -> None:
    for to_left in (True, False):
        sound = whoosh(0, to_left=to_left)
        half = len(sound) // 2
        first, last = sound[: half - 2_000], sound[half + 2_000 :]
        lean = [decibels_of(part[:, :1]) - decibels_of(part[:, 1:]) for part in (first, last)]
        assert (lean[0] < lean[1]) == to_left


def test_the_music_bed_lasts_27_seconds_and_is_quiet_in_its_rests() -> None:
    bed = music_bed()
    assert 26.7 <= len(bed) / SAMPLING <= 28.5
    beat = SAMPLING * 60 / BEATS_A_MINUTE
    for bar, at in RESTS - {(3, 2), (11, 1)}:
        start = round((bar * BEATS_A_BAR + at + 0.45) * beat)
        assert decibels_of(bed[start : start + round(0.5 * beat)]) < decibels_of(bed) - 10


@pytest.mark.parametrize("note", [41, 48, 60, 69, 81])
def test_a_plucked_string_is_in_tune(note: int) -> None:
    """Equal temperament at 440 Hz; within two cents."""
    wave = string(np.random.default_rng(0), hertz_of(note), 2.0, 0.5, 3.0)
    found = pitch_of(wave, hertz_of(note) * 0.9, hertz_of(note) * 1.1)
    assert abs(1_200 * np.log2(found / hertz_of(note))) < 2


def test_a_moving_filter_that_changes_nothing_gives_back_the_wave() -> None:
    wave = np.random.default_rng(0).standard_normal(20_000)
    same = coloured(wave, lambda hertz, t: np.ones((len(t), hertz.shape[1])))
    np.testing.assert_allclose(same, wave, atol=1e-9)


@given(st.integers(0, 1_000), st.floats(0.01, 3), st.floats(1, 100))
def test_a_wandering_curve_is_as_long_as_told_and_never_jumps(
    seed: int, seconds: float, hertz: float
) -> None:
    curve = wander(np.random.default_rng(seed), len(clock(seconds)), hertz)
    assert len(curve) == len(clock(seconds))
    assert np.isfinite(curve).all()
