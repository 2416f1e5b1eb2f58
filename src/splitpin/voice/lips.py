"""When the lips are shut on m, b and p: what only the sound a tenth of a second around can tell.

A dip alone does not tell it, since t, d, k, g and n dip as well. What parts them is how the formants bend
towards the dip (the second falls before lips that shut and rises after them), what is left in it (a murmur
without overtones), and what noise it ends in (low and diffuse, against the hiss of t and the one hump of k;
Stevens 1998, chapter 7, from memory). A small net weighs twelve bands at nine places for this; its weights
were found by ``benchmarks/voice_fit.py`` on voices that tell where their phones are.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from splitpin.voice.lips_weights import BIASES, OUTPUT, SCALE, WEIGHTS
from splitpin.voice.spectrum import Spectra, bands_of
from splitpin.voice.track import Curve, smooth

PLACES = (-10, -7, -4, -2, 0, 2, 4, 7, 10)
"""Where the bands are looked at, in steps of 10 ms around the place asked about."""

QUIETEST = -60.0
"""Decibels under the loud places of a recording; nothing below is told apart."""

HEARD = -25.0
"""Decibels under the loud places from which on a place counts for how the recording sounds as a whole."""

SPREAD = 15.0
"""Decibels that the net takes for one."""


def features_of(short: Spectra) -> NDArray[np.float64]:
    """The bands around each place in decibels, the same for any loudness and any colour of a recording.

    Parameters
    ----------
    short
        Power spectra of short windows.

    Returns
    -------
    ndarray
        Shape ``(places, len(PLACES) * bands)``.
    """
    bands = bands_of(short)
    total = bands.sum(axis=1)
    loud = float(np.quantile(total, 0.9)) if len(total) else 0.0
    if loud <= 0:
        return np.zeros((len(bands), len(PLACES) * bands.shape[1]))
    relative = 10 * np.log10(np.maximum(bands / loud, 10 ** (QUIETEST / 10)))
    heard = total >= loud * 10 ** (HEARD / 10)
    relative = (relative - relative[heard].mean(axis=0)) / SPREAD
    near = np.clip(np.arange(len(bands))[:, None] + np.array(PLACES), 0, len(bands) - 1)
    return np.asarray(relative[near].reshape(len(bands), -1))


def closure_of(short: Spectra) -> Curve:
    """How sure it is that the lips are shut within speech, 0 to 1, at each place.

    Lips shut for 50 ms and more, so that a place counts its two neighbours as much as itself: the net errs on
    the closures of n, d and k mostly for a place or two.
    """
    weights, biases, output = (np.array(table) / SCALE for table in (WEIGHTS, BIASES, OUTPUT))
    hidden = np.tanh(features_of(short) @ weights + biases)
    odds = smooth(hidden @ output[:-1] + output[-1])
    return np.asarray(1 / (1 + np.exp(-odds)))
