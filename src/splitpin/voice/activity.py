"""Where somebody speaks, against the noise of the room."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from splitpin.sound.source import SILENT_DBFS
from splitpin.voice.track import Curve

OVER_NOISE = 8.0
"""Decibels that speech stands over the noise of the room. [T]"""

SOFTEST, LOUDEST = -34.0, -15.0
"""The threshold of speech stays within so many decibels of the loud places. [T]"""

STAYS = 3.0
"""Decibels under the threshold that speech may fall to once it has started. [T]"""

STEADY = 8.0
"""Decibels between the loudest and the softest places of what is no speech unless vocal cords sing. [T]"""

GAP = 10
"""Silences of fewer steps of 10 ms are closures within words rather than pauses. [T]"""

BLIP = 4
"""Speech of fewer steps is a click. [T]"""

FAINT, BRIEF = 20.0, 15
"""What stays so many decibels under the loud places, and lasts for fewer steps, is a breath or the end of
something that was cut off. [T]"""


def speech_of(level: Curve, voiced: Curve) -> Curve:
    """How sure it is that somebody speaks, 0 or 1 but for the edges.

    Parameters
    ----------
    level
        Decibels full scale.
    voiced
        How regular the sound is, 0 to 1.
    """
    if not len(level):
        return np.zeros(0)
    loud, noise = (float(np.quantile(level, share)) for share in (0.95, 0.05))
    if loud <= SILENT_DBFS or (loud - noise < STEADY and np.median(voiced) < 0.5):
        return np.zeros(len(level))
    threshold = float(np.clip(noise + OVER_NOISE, loud + SOFTEST, loud + LOUDEST))
    spoken = _filled(_lasting(level > threshold, level > threshold - STAYS))
    for a, b in runs(spoken):
        if b - a < BRIEF and level[a:b].max() < loud - FAINT:
            spoken[a:b] = False
    return spoken.astype(np.float64)


def runs(mask: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Where a mask is true: half-open spans, in order."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]]).astype(np.int8)))
    return [(int(a), int(b)) for a, b in edges.reshape(-1, 2)]


def _lasting(sure: NDArray[np.bool_], possible: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """What is possible, where enough of it is sure."""
    out = np.zeros(len(sure), bool)
    for a, b in runs(possible):
        if sure[a:b].any() and b - a >= BLIP:
            out[a:b] = True
    return out


def _filled(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    out = mask.copy()
    for a, b in runs(~mask):
        if a > 0 and b < len(mask) and b - a < GAP:
            out[a:b] = True
    return out
