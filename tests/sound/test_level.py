"""The mix comes to its target, or a person is told why not."""

from __future__ import annotations

import tracemalloc
from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitpin.sound.level import MOST_LIMITED, WITHIN, level
from splitpin.sound.loudness import measured
from splitpin.sound.mix import Mix, Voicing
from splitpin.sound.source import SAMPLING, Samples, Sound


def mix_of(sound: Sound) -> Mix:
    return Mix((Voicing("it", 0, len(sound)),), {"it": Samples(sound)}, len(sound))


def effects(seed: int, seconds: int = 8) -> Sound:
    """Sparse decaying noises between pauses, as in a film of effects."""
    rng = np.random.default_rng(seed)
    sound = 1e-4 * rng.standard_normal((seconds * SAMPLING, 2))
    for _ in range(seconds * 2):
        at, length = int(rng.integers(0, len(sound))), int(rng.integers(2_000, 40_000))
        piece = sound[at : at + length]
        fall = np.exp(-np.arange(len(piece)) / (length / 4))[:, None]
        piece += rng.uniform(0.02, 0.4) * fall * rng.standard_normal(piece.shape)
    return sound.astype(np.float32)


@settings(max_examples=12)
@given(st.integers(0, 10_000), st.sampled_from([-23.0, -16.0, -14.0]), st.sampled_from([-1.0, -2.0]))
def test_the_levelled_mix_measures_as_its_target_and_keeps_under_its_ceiling(
    seed: int, target: float, ceiling: float
) -> None:
    mix = mix_of(effects(seed))
    levelled = level(mix, target, ceiling)
    heard = measured(levelled.blocks(mix))
    assert levelled.reached
    assert levelled.report == ""
    assert heard.integrated == pytest.approx(target, abs=WITHIN)
    assert heard.integrated == pytest.approx(levelled.loudness, abs=0.01)
    assert heard.true_peak <= ceiling
    assert heard.samples == mix.length


def test_it_hears_a_mix_that_needs_no_limiting_once_and_any_other_three_times_at_most() -> None:
    times = 0

    class Counted(Samples):
        def read(self, start: int, count: int) -> Sound:
            nonlocal times
            times += start == 0
            return super().read(start, count)

    sound = effects(3)
    mix = Mix((Voicing("it", 0, len(sound)),), {"it": Counted(sound)}, len(sound))
    level(mix, -40, -1)
    assert times == 1
    times = 0
    level(mix, -9, -1)
    assert 2 <= times <= 3


def test_silence_is_left_alone_and_reported() -> None:
    levelled = level(mix_of(np.zeros((SAMPLING, 2), dtype=np.float32)), -14, -1)
    assert (levelled.gain, levelled.loudness, levelled.reached) == (0.0, -inf, False)
    assert "nothing loud enough" in levelled.report


def test_a_film_of_no_length_is_reported_too() -> None:
    mix = mix_of(np.zeros((0, 2), dtype=np.float32))
    levelled = level(mix, -14, -1)
    assert not levelled.reached
    assert list(levelled.blocks(mix)) == []


def test_clicks_in_silence_are_not_flattened_beyond_reason_but_reported() -> None:
    sound = np.zeros((4 * SAMPLING, 2), dtype=np.float32)
    sound[:: SAMPLING // 2] = 0.5
    levelled = level(mix_of(sound), -14, -1)
    assert not levelled.reached
    assert levelled.true_peak <= -1
    assert levelled.gain <= 5.1 + MOST_LIMITED
    assert "peaks stand too far out" in levelled.report


def test_memory_does_not_grow_with_the_length_of_the_film() -> None:
    """Counted by tracemalloc, which sees numpy's arrays; a tenth of a film against the whole."""
    turn = Samples(effects(1, 2))

    def peak_for(seconds: int) -> int:
        length = seconds * SAMPLING
        mix = Mix((Voicing("it", 0, length, loop=True),), {"it": turn}, length)
        tracemalloc.start()
        try:
            levelled = level(mix, -14, -1)
            for _ in levelled.blocks(mix):
                pass
            return tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()

    peak_for(1)
    assert peak_for(60) < 1.2 * peak_for(6)


def test_a_mix_turned_down_so_far_that_its_quiet_half_falls_under_the_gate_still_meets_its_target() -> None:
    rng = np.random.default_rng(0)
    levels = np.repeat([0.2, 0.0009, 0.0005], 4 * SAMPLING)
    mix = mix_of((rng.standard_normal((len(levels), 2)) * 0.3 * levels[:, None]).astype(np.float32))
    for target in (-23.0, -40.0, -60.0):
        levelled = level(mix, target, -1)
        assert levelled.reached
        assert measured(levelled.blocks(mix)).integrated == pytest.approx(target, abs=WITHIN)
