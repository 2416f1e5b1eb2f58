"""Ducking: music and effects make room while somebody speaks.

Where a voice really sounds is listened for in the voice itself, in steps of 10 ms from the start of the mix,
so that pauses and silence at the ends of a file duck nothing. The others are on their way down before it
begins and come back when it is over. It is worked out once for the whole mix: the size of the blocks in which
that is read never shows.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.sound.mix import DIP as CELL
from splitpin.sound.mix import Mix, Voicing
from splitpin.sound.source import BLOCK, SAMPLING, Source, amplitude

BELOW_ITS_LOUDEST = 30.0
"""Decibels: a step so far under the loudest one of a voice is breath or the room, not speech. [T]"""

NEVER_SPEECH = -60.0
"""dBFS (root of the mean square): what is softer is silence, however soft the voice. [T]"""

PAUSE = 0.3
"""Seconds: over a gap between words that is shorter, the others stay down. [T]"""


class Ducking(NamedTuple):
    """How far the others go down, and how fast."""

    db: float
    """Decibels."""
    attack: float
    """Seconds in which they go down; they are down when the voice begins."""
    release: float
    """Seconds in which they come back once it has ended."""


def speech(voicings: tuple[Voicing, ...], sources: Mapping[str, Source], length: int) -> NDArray[np.bool_]:
    """In which steps of 10 ms of a mix a voice sounds that the others shall go down under.

    Parameters
    ----------
    voicings, sources, length
        What the mix is made of.
    """
    steps = -(-length // CELL)
    spoken = np.zeros(steps, dtype=np.bool_)
    for voicing in voicings:
        first, last = max(voicing.at, 0) // CELL, -(-min(voicing.end, length) // CELL)
        if voicing.kind != "voice" or not voicing.ducks or first >= last:
            continue
        loud = _loud(Mix((voicing,), sources, last * CELL), first, last)
        least = max(float(loud.max()) * amplitude(-BELOW_ITS_LOUDEST), amplitude(NEVER_SPEECH))
        spoken[first:last] |= loud >= least
    return spoken


def _loud(mix: Mix, first: int, last: int) -> NDArray[np.float64]:
    """The root of the mean square of each step, over both sides."""
    loud, size = np.zeros(last - first), BLOCK // CELL
    for start in range(first, last, size):
        stop = min(start + size, last)
        block = mix.read(start * CELL, (stop - start) * CELL).astype(np.float64)
        loud[start - first : stop - first] = np.sqrt(np.square(block).reshape(stop - start, -1).mean(axis=1))
    return loud


def dip(spoken: NDArray[np.bool_], ducking: Ducking) -> NDArray[np.float64]:
    """The gain of the others at the edges of the steps: one value more than there are steps.

    Parameters
    ----------
    spoken
        Where somebody speaks, step by step.
    ducking
        How far, and how fast. Levels move along a smooth step, in decibels.
    """
    edges = len(spoken) + 1
    where = np.flatnonzero(spoken)
    if not len(where):
        return np.ones(edges)
    breaks = np.flatnonzero(np.diff(where) > PAUSE * SAMPLING / CELL)
    starts, ends = where[[0, *(breaks + 1)]], where[[*breaks, len(where) - 1]] + 1
    at = np.arange(edges)
    next_start = np.append(starts, 1 << 60)[np.searchsorted(starts, at)]
    last_end = np.insert(ends, 0, -(1 << 60))[np.searchsorted(ends, at, "right")]
    inside = np.searchsorted(starts, at, "right") > np.searchsorted(ends, at, "left")
    attack, release = (max(1.0, seconds * SAMPLING / CELL) for seconds in (ducking.attack, ducking.release))
    down = np.maximum(1.0 - (next_start - at) / attack, 1.0 - (at - last_end) / release)
    down = np.where(inside, 1.0, np.clip(down, 0.0, 1.0))
    return np.asarray(10.0 ** (-ducking.db / 20.0 * (down * down * (3.0 - 2.0 * down))), dtype=np.float64)


def ducked(mix: Mix, voicings: tuple[Voicing, ...], sources: Mapping[str, Source], ducking: Ducking) -> Mix:
    """The same mix, in which music and effects make room for voices; the very same when they need not.

    Parameters
    ----------
    mix
        The mix of these voicings of these sources.
    voicings, sources
        What it is made of.
    ducking
        How far the others go down, and how fast; by 0 dB nothing is listened for.
    """
    if ducking.db == 0 or not voicings:
        return mix
    spoken = speech(voicings, sources, mix.length)
    if not spoken.any():
        return mix
    return Mix(voicings, sources, mix.length, dip(spoken, ducking))
