"""The mix brought to its level, measured as it is heard after coding."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pyloudnorm
import pytest
from numpy.typing import NDArray

from splitpin.device.coded import Coded
from splitpin.device.film_sound import code_sound, decode_sound
from splitpin.film.excerpt import Excerpt
from splitpin.film.master import master
from splitpin.sound.mix import Mix, Voicing
from splitpin.sound.source import SAMPLING, Samples

Sound = NDArray[np.float32]


def mix_of(sound: Sound) -> Mix:
    return Mix((Voicing("a", 0, len(sound)),), {"a": Samples(sound)}, len(sound))


def coded(blocks: Iterable[Sound]) -> Coded:
    stream = code_sound(blocks)
    return Coded(stream.header, tuple(stream.packets))


def crackle(seconds: int) -> Sound:
    """Loud knocks in noise: what a coder with loss adds most to."""
    rng = np.random.default_rng(3)
    sound = 0.05 * rng.standard_normal((seconds * SAMPLING, 2))
    for at in rng.integers(0, len(sound) - 9000, 4 * seconds):
        sound[at : at + 9000] += (
            0.3 * rng.standard_normal((9000, 1)) * np.exp(-np.arange(9000) / 1500)[:, None]
        )
    return np.clip(sound, -1, 1).astype(np.float32)


@pytest.mark.parametrize(("lufs", "peak"), [(-14.0, -1.0), (-16.0, -1.0), (-23.0, -1.0), (-14.0, -2.0)])
def test_the_decoded_track_is_as_loud_as_asked_and_under_its_ceiling(lufs: float, peak: float) -> None:
    """Measured by pyloudnorm 0.2 (filter class DeMan), within 0.2 LU."""
    done = master(mix_of(crackle(6)), lufs, peak, coded, decode_sound)
    heard = np.concatenate(list(decode_sound(done.sound)))
    meter = pyloudnorm.Meter(SAMPLING, filter_class="DeMan")
    assert meter.integrated_loudness(heard.astype(np.float64)) == pytest.approx(lufs, abs=0.2)
    assert done.true_peak <= peak
    assert done.report == ""


def test_silence_stays_silence() -> None:
    done = master(Mix((), {}, 48_000), -14.0, -1.0, coded, decode_sound)
    assert done.loudness == -np.inf
    assert done.sound.packets


def test_a_form_without_loss_is_right_at_the_first_try() -> None:
    tries = []

    def keep(blocks: Iterable[Sound]) -> list[Sound]:
        tries.append(1)
        return list(blocks)

    done = master(mix_of(crackle(3)), -30.0, -1.0, keep, lambda kept: kept)
    assert done.loudness == pytest.approx(-30.0, abs=0.1)
    assert len(tries) == 1


def test_an_excerpt_is_what_is_heard_over_its_parts() -> None:
    sound = crackle(1)
    whole = mix_of(sound)
    part = Excerpt(whole, [(100, 5000), (20_000, 20_001), (30_000, 44_000)])
    expected = np.concatenate([sound[100:5000], sound[20_000:20_001], sound[30_000:44_000]])
    assert part.length == len(expected)
    assert np.array_equal(np.concatenate(list(part.blocks(777))), expected)
