"""What sort of sound is heard, as far as a tenth of a second around tells it.

It is what letters are compared with when a text is laid along a track. A small net weighs the same bands as
that of ``lips.py``; its weights were found by the same ``benchmarks/voice_fit.py``, each sort counted as the
square root of how often it is said, so that the many vowels do not drown the rest.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from splitpin.voice.lips import features_of
from splitpin.voice.sounds_weights import BIASES, OUTPUT, OUTPUT_BIASES, SCALE, WEIGHTS
from splitpin.voice.spectrum import Spectra
from splitpin.voice.track import Table

Sound = Literal["labial", "hiss", "breath", "stop", "nasal", "glide", "vowel"]
"""m, b, p; s, sh, ch; f, th, h; t, k, g; n, ng; l, r, w, y; all vowels."""

SOUNDS: tuple[Sound, ...] = ("labial", "hiss", "breath", "stop", "nasal", "glide", "vowel")
"""Every :data:`Sound`, as the net lists them."""


def sounds_of(short: Spectra) -> Table:
    """How sure each sort of sound is at each place, whoever speaks or not.

    Parameters
    ----------
    short
        Power spectra of short windows.

    Returns
    -------
    ndarray
        Shape ``(places, len(SOUNDS))``; each from 0 to 1, together 1.
    """
    weights, biases, output, last = (np.array(t) / SCALE for t in (WEIGHTS, BIASES, OUTPUT, OUTPUT_BIASES))
    sure = np.tanh(features_of(short) @ weights + biases) @ output + last
    sure = np.exp(sure - sure.max(axis=1, keepdims=True))
    return np.asarray(sure / sure.sum(axis=1, keepdims=True))
