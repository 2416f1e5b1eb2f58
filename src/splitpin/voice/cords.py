"""Whether the vocal cords sing, and at what pitch.

The autocorrelation of the window, divided by that of the window's own shape, has a peak at one period of the
voice whose height tells how regular it is (Boersma 1993, from memory).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from splitpin.sound.source import SAMPLING
from splitpin.voice.spectrum import WINDOW, Spectra
from splitpin.voice.track import Curve

LOWEST, HIGHEST = 65.0, 500.0
"""Hertz between which voices speak."""

CLEAR, NONE = 0.75, 0.35
"""Heights of the peak at which it is a voice for certain, and noise for certain. [T]"""


class Cords(NamedTuple):
    """What the vocal cords do at each place."""

    voiced: Curve
    """How regular the sound is, 0 to 1."""
    pitch: Curve
    """Its pitch if it is voiced, Hz."""


def cords_of(long: Spectra) -> Cords:
    """What the vocal cords do, out of power spectra of long windows."""
    size = 2 * (long.shape[1] - 1)
    hertz = np.arange(long.shape[1]) * SAMPLING / size
    shape = np.fft.irfft(np.square(np.abs(np.fft.rfft(np.hanning(WINDOW + 2)[1:-1], size))), size)
    first, last = int(SAMPLING / HIGHEST), int(SAMPLING / LOWEST) + 1
    low = long / (1 + (hertz / 900.0) ** 4)
    wave = np.fft.irfft(low, size)
    whole = np.maximum(wave[:, :1], 1e-30)
    peaks = wave[:, first:last] / whole / (shape[first:last] / shape[0])
    # A short period is as good as twice itself: the longer one must be clearly better to be taken.
    best = np.argmax(peaks - 0.02 * np.log2(np.arange(first, last) / first), axis=1)
    height = peaks[np.arange(len(peaks)), best] * (wave[:, 0] > 1e-14)
    return Cords(np.clip((height - NONE) / (CLEAR - NONE), 0, 1), SAMPLING / (first + best))
