"""Where syllables start that stand out, for gestures to go with."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from splitpin.voice.activity import runs
from splitpin.voice.track import Curve

WIDTH = 11
"""Steps of 10 ms over which the loudness of a syllable is gathered. [T]"""

DROP = 3.0
"""Decibels that the loudness falls between two syllables. [T]"""

SPREAD = 12.0
"""Decibels from a syllable that is lost to one that stands out most. [T]"""

RING = slice(2, 9)
"""The bands in which vowels ring, 400 to 3,200 Hz."""


def stress_of(bands: NDArray[np.float64], speech: Curve) -> Curve:
    """How much the syllable that starts at each place stands out, 0 to 1; 0 where none starts.

    Parameters
    ----------
    bands
        Power of each band, ``(places, bands)``.
    speech
        How sure it is that somebody speaks.
    """
    out = np.zeros(len(speech))
    spoken = runs(speech > 0.5)
    if not spoken:
        return out
    power = np.convolve(bands[:, RING].sum(axis=1), np.hanning(WIDTH + 2)[1:-1], "same")[: len(speech)]
    loudness = 10 * np.log10(np.maximum(power, 1e-12))
    syllables = [one for a, b in spoken for one in _syllables(loudness, a, b)]
    usual = float(np.median([height for _, height in syllables]))
    for start, height in syllables:
        out[start] = float(np.clip((height - usual) / SPREAD + 0.5, 0.01, 1))
    return out


def _syllables(loudness: Curve, start: int, end: int) -> list[tuple[int, float]]:
    """The start and the loudest of each rise and fall between two places."""
    out: list[tuple[int, float]] = []
    valley, peak = start, start
    for i in range(start, end):
        if loudness[i] > loudness[peak]:
            peak = i
        if loudness[peak] - loudness[i] >= DROP and loudness[peak] - loudness[valley] >= DROP:
            out.append((valley, float(loudness[peak])))
            valley = peak = i
        elif loudness[i] < loudness[valley]:
            valley = peak = i
    if loudness[peak] - loudness[valley] >= DROP or not out:
        out.append((valley, float(loudness[peak])))
    return out
