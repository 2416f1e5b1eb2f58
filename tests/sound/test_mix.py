"""The mix puts every sample in its place, whatever the blocks."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.sound.mix import Mix, Voicing, fade_gains, pan_gains
from splitpin.sound.source import Samples, Sound, amplitude, is_silent, peak_of

LENGTH = 3_000


def noise(frames: int, seed: int) -> Sound:
    return np.random.default_rng(seed).uniform(-0.5, 0.5, (frames, 2)).astype(np.float32)


SOURCES = {"long": Samples(noise(2_000, 1)), "short": Samples(noise(37, 2)), "one": Samples(noise(1, 3))}

voicings = st.builds(
    Voicing,
    source=st.sampled_from(sorted(SOURCES)),
    at=st.integers(-500, LENGTH + 100),
    length=st.integers(0, 2_500),
    skip=st.just(0),
    gain=st.floats(-40, 12),
    pan=st.floats(-1, 1),
    fade_in=st.integers(0, 3_000),
    fade_out=st.integers(0, 3_000),
    loop=st.booleans(),
)


def whole(*heard: Voicing, length: int = LENGTH) -> Sound:
    return Mix(heard, SOURCES, length).read(0, length)


@given(st.lists(voicings, max_size=5), st.integers(1, LENGTH + 10))
def test_the_size_of_the_blocks_never_shows_in_a_single_bit(heard: list[Voicing], size: int) -> None:
    mix = Mix(tuple(heard), SOURCES, LENGTH)
    blocks = list(mix.blocks(size))
    assert np.array_equal(np.concatenate(blocks), mix.read(0, LENGTH))
    assert all(len(block) == size for block in blocks[:-1])


@given(st.lists(voicings, max_size=4), st.integers(-50, LENGTH + 50), st.integers(0, 500))
def test_any_span_can_be_read_and_lies_in_silence_outside_the_mix(
    heard: list[Voicing], start: int, count: int
) -> None:
    mix = Mix(tuple(heard), SOURCES, LENGTH)
    padded = np.pad(mix.read(0, LENGTH), ((600, 600), (0, 0)))
    assert np.array_equal(mix.read(start, count), padded[600 + start : 600 + start + count])


@given(voicings, voicings)
def test_two_sounds_together_are_the_sum_of_each_alone(first: Voicing, second: Voicing) -> None:
    np.testing.assert_allclose(whole(first, second), whole(first) + whole(second), atol=2e-6)


@given(voicings, st.floats(-20, 10))
def test_gain_makes_every_sample_larger_by_its_decibels(voicing: Voicing, more: float) -> None:
    louder = voicing._replace(gain=voicing.gain + more)
    np.testing.assert_allclose(whole(louder), whole(voicing) * amplitude(more), rtol=1e-5, atol=1e-6)


@given(st.integers(0, LENGTH - 400), st.integers(1, 300))
def test_a_cues_place_found_by_cross_correlation_is_exact(at: int, skip: int) -> None:
    source = SOURCES["long"].read(0, 2_000)
    sound = whole(Voicing("long", at, 400, skip=skip))
    found = np.correlate(sound[:, 0], source[skip : skip + 400, 0], "valid").argmax()
    assert found == at


def test_an_unpanned_unfaded_sound_passes_bit_for_bit() -> None:
    assert np.array_equal(whole(Voicing("long", 100, 2_000))[100:2_100], SOURCES["long"].read(0, 2_000))


@given(st.integers(0, 36), st.integers(1, 2_000))
def test_a_loop_goes_round_without_a_seam(skip: int, length: int) -> None:
    turn = SOURCES["short"].read(skip, 37 - skip)
    expected = np.tile(turn, (length // len(turn) + 1, 1))[:length]
    assert np.array_equal(whole(Voicing("short", 5, length, skip=skip, loop=True))[5 : 5 + length], expected)


def test_a_sound_without_a_loop_ends_in_silence() -> None:
    assert not whole(Voicing("short", 0, 500))[37:].any()


def test_a_loop_with_nothing_to_go_round_in_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing left to loop"):
        Mix((Voicing("short", 0, 10, skip=37, loop=True),), SOURCES, 10)


@given(st.floats(-1, 1))
def test_pan_keeps_the_power(pan: float) -> None:
    left, right = pan_gains(pan)
    assert left**2 + right**2 == pytest.approx(2)
    assert pan_gains(-pan) == pytest.approx((right, left))


def test_pan_leaves_the_middle_alone_and_empties_the_far_side() -> None:
    assert pan_gains(0) == (1, 1)
    assert pan_gains(-1) == (sqrt(2), 0)
    assert pan_gains(1) == (0, sqrt(2))


@given(st.integers(1, 5_000))
def test_a_fade_out_under_a_fade_in_keeps_the_power_and_each_only_climbs(length: int) -> None:
    gains = fade_gains(0, length, length)
    np.testing.assert_allclose(gains**2 + gains[::-1] ** 2, 1, atol=1e-12)
    assert (np.diff(gains) >= 0).all()


def test_a_fade_in_starts_from_nothing_and_a_fade_out_ends_in_it() -> None:
    sources = {"flat": Samples(np.ones((1_000, 2), dtype=np.float32))}
    sound = Mix((Voicing("flat", 0, 1_000, fade_in=200, fade_out=300),), sources, 1_000).read(0, 1_000)
    assert sound[0, 0] < 0.01
    assert sound[-1, 0] < 0.01
    assert (sound[200:700] == 1).all()


def test_the_mix_reads_no_more_of_a_source_than_the_block_needs() -> None:
    asked: list[tuple[int, int]] = []

    class Endless:
        frames = 1 << 40

        def read(self, start: int, count: int) -> Sound:
            asked.append((start, count))
            return np.zeros((count, 2), dtype=np.float32)

    Mix((Voicing("endless", 0, 1 << 40),), {"endless": Endless()}, 1 << 40).read(1 << 39, 100)
    assert asked == [(1 << 39, 100)]


def test_a_source_under_minus_70_decibels_is_silent() -> None:
    assert is_silent(Samples(np.full((100_000, 2), amplitude(-70.1), dtype=np.float32)))
    loud = np.zeros((100_000, 2), dtype=np.float32)
    loud[-1, 1] = -amplitude(-69.9)
    assert not is_silent(Samples(loud))
    assert peak_of(Samples(loud)) == pytest.approx(amplitude(-69.9))
    assert is_silent(Samples(np.zeros((0, 2), dtype=np.float32)))
