"""A recorded voice becomes a track."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from splitpin.voice.activity import speech_of
from splitpin.voice.cords import cords_of
from splitpin.voice.jaw import jaw_of
from splitpin.voice.lips import closure_of
from splitpin.voice.sounds import sounds_of
from splitpin.voice.spectrum import EDGES, LONG_SIZE, WINDOW, bands_of, mono_of, spectra_of
from splitpin.voice.stress import stress_of
from splitpin.voice.track import Track

FRICTION = 3200.0
"""Hertz above which s, sh and f have most of what they have."""

QUIET = 1e-12
"""Power of what cannot be heard, -120 dBFS."""


def track_of(sound: NDArray[np.float32]) -> Track:
    """Listen to a voice.

    Parameters
    ----------
    sound
        float32 at 48 kHz, ``(n,)`` or ``(n, channels)``, full scale ±1; what is no number counts as silence.
    """
    mono = mono_of(sound)
    short = spectra_of(mono)
    bands = bands_of(short)
    total = bands.sum(axis=1)
    level = 10 * np.log10(np.maximum(total, QUIET))
    long = spectra_of(mono, WINDOW, LONG_SIZE)
    cords = cords_of(long)
    speech = speech_of(level, cords.voiced)
    jaw = jaw_of(long, level, speech, cords)
    high = bands[:, np.array(EDGES[:-1]) >= FRICTION].sum(axis=1)
    return Track(
        samples=len(mono),
        level=level,
        speech=speech,
        voiced=cords.voiced * speech,
        closure=closure_of(short) * speech,
        opening=jaw.opening,
        roundness=jaw.roundness,
        hiss=high / np.maximum(total, QUIET) * speech,
        stress=stress_of(bands, speech),
        sounds=sounds_of(short),
    )
