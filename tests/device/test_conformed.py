"""Sound that is heard faster or slower."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from numpy.typing import NDArray

from splitpin.device.conformed import Conformed, Pitch
from splitpin.sound.mix import Mix, Voicing
from splitpin.sound.source import SAMPLING, Samples

SPEEDS = [Fraction(25, 24), Fraction(24, 25), Fraction(1001, 960), Fraction(1001, 1000)]


def knocks(seconds: int, hertz: float) -> NDArray[np.float32]:
    """A tone struck anew at each second."""
    time = np.arange(SAMPLING) / SAMPLING
    one = 0.5 * np.sin(2 * np.pi * hertz * time) * np.exp(-8 * time)
    return np.tile(one, seconds)[:, None].repeat(2, 1).astype(np.float32)


def heard(
    sound: NDArray[np.float32], speed: Fraction, pitch: Pitch, size: int = 10_000
) -> NDArray[np.float32]:
    mix = Mix((Voicing("a", 0, len(sound)),), {"a": Samples(sound)}, len(sound))
    blocks = list(Conformed(mix, speed, int(len(sound) / speed), pitch).blocks(size))
    return np.concatenate(blocks)


@pytest.mark.parametrize("speed", SPEEDS)
@pytest.mark.parametrize("pitch", ["raised", "kept"])
def test_every_knock_comes_when_its_frame_does(pitch: Pitch, speed: Fraction) -> None:
    """Within half a frame: nearer to its own frame than to the next, whether the pitch is kept or not."""
    sound = heard(knocks(12, 440.0), speed, pitch)
    assert len(sound) == int(12 * SAMPLING / speed)
    level = np.abs(sound[:, 0])
    for k in range(1, 12):
        due = int(k * SAMPLING / speed)
        before = 2400
        came = int(np.argmax(level[due - before :] > 0.1)) - before
        assert abs(came) <= SAMPLING // 50


@pytest.mark.parametrize("speed", SPEEDS)
def test_pitch_rises_with_the_speed_or_is_kept(speed: Fraction) -> None:
    def pitch_of(sound: NDArray[np.float32]) -> float:
        seconds = len(sound) / SAMPLING
        return float(np.argmax(np.abs(np.fft.rfft(sound[:, 0] * np.hanning(len(sound))))) / seconds)

    time = np.arange(8 * SAMPLING) / SAMPLING
    tone = (0.5 * np.sin(2 * np.pi * 440.0 * time))[:, None].repeat(2, 1).astype(np.float32)
    assert pitch_of(heard(tone, speed, "raised")) == pytest.approx(440.0 * float(speed), abs=0.2)
    assert pitch_of(heard(tone, speed, "kept")) == pytest.approx(440.0, rel=0.002)


@pytest.mark.parametrize("pitch", ["raised", "kept"])
def test_the_size_of_the_blocks_never_shows(pitch: Pitch) -> None:
    sound = knocks(3, 300.0)
    assert np.array_equal(heard(sound, SPEEDS[0], pitch), heard(sound, SPEEDS[0], pitch, 777))
