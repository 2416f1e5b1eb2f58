"""Beats are found where they are, and none where there are none."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitpin.sound.beats import Beats, find_beats
from splitpin.sound.effects import music_bed, rustle
from splitpin.sound.source import SAMPLING, Sound

MS = 0.010
"""Seconds by which a beat may lie beside the truth."""


def clicks(times: list[float], seconds: float, noise: float = 0.0, seed: int = 0) -> Sound:
    """A click at each time, from full to half as loud, over noise."""
    chance = np.random.default_rng(seed)
    wave = noise * chance.standard_normal(round(seconds * SAMPLING) + 2_400)
    t = np.arange(2_400) / SAMPLING
    click = np.sin(2 * np.pi * 1_000 * t) * np.exp(-t / 0.008)
    for at in times:
        start = round(at * SAMPLING)
        wave[start : start + 2_400] += click * (1 - 0.5 * chance.random())
    return np.repeat(wave.astype(np.float32)[:, None], 2, axis=1)


def every(tempo: float, first: float, seconds: float) -> list[float]:
    return list(np.arange(first, seconds, 60 / tempo))


def off(found: Beats | None, truth: list[float]) -> float:
    """How far the worst found of the true beats is away, seconds."""
    assert found is not None
    beats = np.array(found.beats)
    return max(float(np.abs(beats - at).min()) for at in truth)


@settings(max_examples=20)
@given(st.floats(50, 170), st.floats(0, 0.3), st.sampled_from([0.0, 0.02]), st.integers(0, 9))
def test_the_beats_of_a_click_track_are_found_within_ten_milliseconds(
    tempo: float, first: float, noise: float, seed: int
) -> None:
    truth = every(tempo, first, 15)
    found = find_beats([clicks(truth, 15, noise, seed)])
    assert off(found, truth) < MS
    assert found is not None
    assert found.even
    assert found.tempo == pytest.approx(tempo, rel=1e-3)


@pytest.mark.parametrize("tempo", [80, 96, 108, 120, 132])
def test_the_beats_of_the_music_bed_are_those_it_was_made_with(tempo: float) -> None:
    """Its bass and chords fall on the beats, its tune between them too; some beats rest."""
    found = find_beats([music_bed(1, tempo)])
    assert off(found, every(tempo, 0, 48 * 60 / tempo)) < MS
    assert found is not None
    assert found.even
    assert found.first < MS
    assert found.tempo == pytest.approx(tempo, rel=1e-3)


def test_a_player_who_hurries_and_lingers_is_followed_beat_by_beat() -> None:
    truth = list(np.cumsum(60 / (110 + 15 * np.sin(np.arange(40) / 5))))
    found = find_beats([clicks(truth, 25)])
    assert off(found, truth) < MS
    assert found is not None
    assert not found.even
    assert len(found.beats) == len(truth)


def test_twice_and_half_as_many_are_found_when_a_person_says_so() -> None:
    sound = clicks(every(80, 0.2, 20), 20)
    for near, tempo in ((160, 160), (82, 80)):
        found = find_beats([sound], near=near)
        assert found is not None
        assert found.tempo == pytest.approx(tempo, rel=0.01) or near == 160
    found = find_beats([clicks(every(200, 0.2, 20), 20)], near=200)
    assert found is not None
    assert found.tempo == pytest.approx(200, rel=1e-3)


def test_what_has_no_beat_has_none() -> None:
    noise = np.random.default_rng(0).standard_normal((SAMPLING * 10, 2)).astype(np.float32)
    for sound in (noise * 0.1, noise * 0, noise[:1000], noise[:0], rustle(1, 12.0), clicks([1.0], 10)):
        assert find_beats([sound]) is None


@settings(max_examples=10)
@given(st.integers(1_000, 100_000))
def test_the_size_of_the_blocks_makes_no_difference(size: int) -> None:
    sound = clicks(every(100, 0.1, 8), 8)
    blocks = [sound[i : i + size] for i in range(0, len(sound), size)]
    assert find_beats(blocks) == find_beats([sound])
