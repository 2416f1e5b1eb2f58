"""The limiter keeps true peaks under the ceiling and leaves the rest alone."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitpin.sound.limiter import MARGIN, limited
from splitpin.sound.loudness import measured
from splitpin.sound.source import SAMPLING, Sound, amplitude


def bursts(seed: int, samples: int = 30_000) -> Sound:
    """Soft noise with loud bursts, clicks and tones in it."""
    rng = np.random.default_rng(seed)
    sound = 0.02 * rng.standard_normal((samples, 2))
    for _ in range(6):
        at, length = int(rng.integers(0, samples)), int(rng.integers(1, 4_000))
        piece = sound[at : at + length]
        tone = np.sin(np.arange(len(piece)) * rng.uniform(0.01, 2.6))[:, None]
        piece += rng.uniform(0.1, 1.5) * (tone if rng.random() < 0.5 else rng.standard_normal(piece.shape))
    return sound.astype(np.float32)


def joined(sound: Sound, gain: float, ceiling: float, size: int = 7_000) -> Sound:
    pieces = [sound[i : i + size] for i in range(0, len(sound), size)]
    return np.concatenate([*limited(pieces, gain, ceiling), np.zeros((0, 2), dtype=np.float32)])


@settings(max_examples=60)
@given(st.integers(0, 10_000), st.floats(-20, 30), st.floats(-12, 0))
def test_nothing_goes_over_the_ceiling(seed: int, gain: float, ceiling: float) -> None:
    out = joined(bursts(seed), gain, ceiling)
    assert measured([out]).true_peak <= ceiling
    assert len(out) == 30_000


@settings(max_examples=25)
@given(st.integers(0, 10_000), st.integers(1, 40_000), st.integers(0, 30_000))
def test_the_size_of_the_blocks_never_shows_in_a_single_bit(seed: int, size: int, samples: int) -> None:
    sound = bursts(seed)[:samples]
    assert np.array_equal(joined(sound, 10, -1, size), joined(sound, 10, -1, 30_001))


@settings(max_examples=25)
@given(st.integers(0, 10_000))
def test_what_is_under_the_ceiling_only_becomes_louder(seed: int) -> None:
    sound = bursts(seed)
    gain = -1 - MARGIN - measured([sound]).true_peak
    np.testing.assert_allclose(joined(sound, gain - 1e-3, -1), sound * amplitude(gain - 1e-3), rtol=1e-6)


def test_a_loud_click_is_brought_down_in_its_place_with_all_around_it_and_then_let_go() -> None:
    sound = np.full((SAMPLING, 2), 0.1, dtype=np.float32)
    sound[20_000] = 2.0
    out = joined(sound, 0, -6)
    down = out[:, 0] / sound[:, 0]
    assert out[:, 0].argmax() == 20_000
    assert down[20_000] == pytest.approx(down.min(), rel=1e-3)
    np.testing.assert_allclose(down[:19_500], 1)
    # 12 dB at 60 dB a second: a fifth of a second later nothing is left of it.
    np.testing.assert_allclose(down[20_000 + SAMPLING // 4 :], 1)


def test_both_sides_share_one_gain() -> None:
    sound = bursts(5)
    sound[:, 1] = sound[:, 0] * 0.25
    out = joined(sound, 20, -1)
    np.testing.assert_allclose(out[:, 1], out[:, 0] * 0.25, rtol=1e-5, atol=1e-7)
