"""What is heard of a voice, every 10 ms."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

STEP = 480
"""Samples between two places of a track, at 48 kHz: 10 ms."""

PER_SECOND = 100
"""Places of a track in a second."""

Curve = NDArray[np.float64]
"""One number for each place of a track; place i is the 10 ms from ``i * STEP`` on."""


Table = NDArray[np.float64]
"""Several numbers for each place of a track, ``(places, numbers)``."""


class Track(NamedTuple):
    """How a voice sounds, every 10 ms."""

    samples: int
    """How long the recording is, in samples at 48 kHz."""
    level: Curve
    """Level of the 10 ms, dBFS; -120 where there is nothing."""
    speech: Curve
    """How sure it is that somebody speaks, 0 to 1."""
    voiced: Curve
    """How much of it is sung by the vocal cords, 0 to 1."""
    closure: Curve
    """How sure it is that the lips are shut on m, b or p, 0 to 1."""
    opening: Curve
    """How far the jaw is down, 0 to 1."""
    roundness: Curve
    """How far forward the lips are, 0 to 1."""
    hiss: Curve
    """How much of it is friction, as in s, sh and f, 0 to 1."""
    stress: Curve
    """How much a syllable that starts here stands out, 0 to 1; 0 where none starts."""
    sounds: Table
    """How sure each sort of sound in :data:`splitpin.voice.sounds.SOUNDS` is, each 0 to 1, together 1."""

    def part(self, start: int, count: int) -> Track:
        """A part of it: the places that hold ``count`` samples from ``start`` on."""
        first, last = start // STEP, -(-(start + count) // STEP)
        curves = (curve[first:last] for curve in self[1:])
        return Track(max(0, min(count + start % STEP, self.samples - first * STEP)), *curves)


def smooth(curve: Curve) -> Curve:
    """The mean of three neighbours."""
    if not len(curve):
        return curve
    wide = np.pad(curve, 1, mode="edge")
    return np.asarray((wide[:-2] + wide[1:-1] + wide[2:]) / 3)
