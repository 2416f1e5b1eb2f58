"""The sound track, coded and decoded."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from splitpin.device.coded import Coded
from splitpin.device.film_sound import SAMPLING, code_sound, decode_sound


def noise(length: int, seed: int = 0) -> NDArray[np.float32]:
    rng = np.random.default_rng(seed)
    return (0.1 * rng.standard_normal((length, 2))).astype(np.float32)


@settings(max_examples=25)
@given(length=st.integers(1, 5000), block=st.integers(1, 3000))
def test_a_track_comes_back_as_long_as_it_was_whatever_blocks_it_came_in(length: int, block: int) -> None:
    sound = noise(length)
    coded = code_sound(sound[i : i + block] for i in range(0, length, block))
    packets = tuple(coded.packets)
    assert sum(len(b) for b in decode_sound(Coded(coded.header, packets))) == length
    assert packets == tuple(code_sound([sound]).packets)
    assert (packets[0].pts, packets[-1].pts + packets[-1].duration) == (-1024, length)


@pytest.mark.parametrize("at", [0, 1, 1023, 1024, 30_000, 47_000])
def test_a_sound_comes_back_in_its_place(at: int) -> None:
    click = noise(600, at) * np.hanning(600)[:, None].astype(np.float32)
    track = np.zeros((SAMPLING, 2), np.float32)
    track[at : at + 600] += click
    back = np.concatenate(list(decode_sound(code_sound([track]))))
    found = np.correlate(np.pad(back[:, 0], 600), click[:, 0], "valid").argmax() - 600
    assert abs(int(found) - at) <= 1  # of 48 samples in a millisecond


def test_silence_is_a_track_too() -> None:
    coded = code_sound([np.zeros((4800, 2), np.float32)])
    back = np.concatenate(list(decode_sound(coded)))
    assert back.shape == (4800, 2)
    assert np.abs(back).max() < 1e-4


def test_left_stays_left_and_right_right() -> None:
    track = np.zeros((SAMPLING, 2), np.float32)
    track[:, 0] = 0.3 * np.sin(np.arange(SAMPLING) * 2 * np.pi * 440 / SAMPLING)
    back = np.concatenate(list(decode_sound(code_sound([track]))))
    left, right = np.sqrt(np.square(back).mean(axis=0))
    assert left == pytest.approx(0.3 / np.sqrt(2), rel=0.02)
    assert right < 0.001
