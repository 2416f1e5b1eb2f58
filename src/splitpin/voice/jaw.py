"""How far the jaw is down and how far the lips are forward.

The first formant rises as the jaw falls (Lindblom & Sundberg 1971, from memory); how far it goes up and down
is another matter in each throat, so that it is measured by the voice's own range. Lips that are forward make
one long tube of the mouth: the second formant comes down, and with it all that is above (Stevens 1998, from
memory).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from splitpin.sound.source import SAMPLING
from splitpin.voice.cords import Cords
from splitpin.voice.formants import formants_of
from splitpin.voice.spectrum import Spectra
from splitpin.voice.track import Curve, smooth

HIGH_VOICE = 165.0
"""Hertz of the pitch from which on a throat is taken for a short one."""

DEEP_SPAN, HIGH_SPAN = 5000.0, 5500.0
"""How far up formants are looked for in long and short throats, Hz. [T]"""

LOW_BAND, HIGH_BAND = (200.0, 1300.0), (1300.0, 3400.0)
"""Hertz between which the first formant, and what rounded lips take away, are found."""

CLOSED, WIDE = 360.0, 680.0
"""The first formant's usual range in running speech, for a long throat, Hz. [T]"""

SHORT_THROAT = 1.15
"""Formants of a short throat to those of a long one. (Peterson & Barney 1952, women to men) [P]"""

USUAL_COUNTS = 60
"""The usual range counts as much as so many places of the voice itself."""

CONSONANT = 0.12
"""How far the jaw is down where nothing rings in the mouth: the teeth are nearly together. [T]"""

ROUND_FROM, ROUND_TO = 15.0, 30.0
"""Decibels from the low to the high band at which the lips start forward and are all forward. [T]"""


class Jaw(NamedTuple):
    """What the mouth does at each place, 0 to 1."""

    opening: Curve
    roundness: Curve


def jaw_of(long: Spectra, level: Curve, speech: Curve, cords: Cords) -> Jaw:
    """What the mouth does where somebody speaks; it is shut elsewhere."""
    opening, roundness = np.zeros(len(level)), np.zeros(len(level))
    spoken = speech > 0
    if not spoken.any():
        return Jaw(opening, roundness)
    long, voiced, level = long[spoken], cords.voiced[spoken], level[spoken]
    loud = float(np.quantile(level, 0.9))
    rings = voiced * np.clip((level - loud + 26) / 14, 0, 1)
    high = float(np.median(cords.pitch[spoken][rings > 0.5])) > HIGH_VOICE if (rings > 0.5).any() else False
    first = formants_of(long, HIGH_SPAN if high else DEEP_SPAN).first
    low_middle, low = _band(long, *LOW_BAND)
    _, above = _band(long, *HIGH_BAND)
    place = smooth((np.log(first) + np.log(low_middle)) / 2)
    throat = np.log(SHORT_THROAT) if high else 0.0
    own = place[rings > 0.5]
    count = len(own)
    closed, wide = np.log(CLOSED) + throat, np.log(WIDE) + throat
    if count:
        share = count / (count + USUAL_COUNTS)
        closed += share * (float(np.quantile(own, 0.08)) - closed)
        wide += share * (float(np.quantile(own, 0.95)) - wide)
    down = np.clip((place - closed) / max(wide - closed, 0.1), 0, 1)
    opening[spoken] = CONSONANT + (1 - CONSONANT) * smooth(rings) * down
    fall = smooth(10 * np.log10(np.maximum(low, 1e-20) / np.maximum(above, 1e-20)))
    forward = np.clip((fall - ROUND_FROM) / (ROUND_TO - ROUND_FROM), 0, 1)
    roundness[spoken] = forward * np.clip(1.6 * rings, 0, 1)
    return Jaw(opening, roundness)


def _band(long: Spectra, low: float, high: float) -> tuple[Curve, Curve]:
    """Hertz of the middle of the amplitudes in a band, and its power."""
    hertz = np.arange(long.shape[1]) * SAMPLING / (2 * (long.shape[1] - 1))
    within = (hertz >= low) & (hertz < high)
    power = long[:, within]
    amplitude = np.sqrt(power) + 1e-15
    return (amplitude @ hertz[within]) / amplitude.sum(axis=1), power.sum(axis=1)
