"""A track becomes mouths."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

import numpy as np

from splitpin.sound.source import SAMPLING
from splitpin.voice.mouth import Mouth, Reading, Shape, joined
from splitpin.voice.settings import ReadingSettings
from splitpin.voice.track import PER_SECOND, STEP, Curve, Track


def track_of(sound: np.ndarray[tuple[int, ...], np.dtype[np.float32]]) -> Track:
    """Listen to a voice.

    Parameters
    ----------
    sound
        float32 at 48 kHz, ``(n,)`` or ``(n, channels)``, full scale ±1.
    """
    mono = np.nan_to_num(sound.astype(np.float64)).reshape(len(sound), -1).mean(axis=1)
    count = ceil(len(mono) / STEP)
    cells = np.pad(mono, (0, count * STEP - len(mono))).reshape(count, STEP)
    level = 10 * np.log10(np.square(cells).mean(axis=1) + 1e-12)
    loud = np.quantile(level, 0.95) if count else 0.0
    speech = np.clip((level - loud + 35) / 10, 0, 1) * (loud > -70)
    opening = np.clip((level - loud + 30) / 30, 0, 1)
    none = np.zeros(count)
    return Track(len(mono), level, speech, speech, none, opening, none, none, none)


def read(
    track: Track,
    rate: Fraction,
    on: int,
    settings: ReadingSettings | None = None,
    start: Fraction = Fraction(0),
) -> Reading:
    """One mouth for each exposure of a recording.

    Parameters
    ----------
    track
        What is heard of it.
    rate
        Frames a second.
    on
        Frames that an exposure is held.
    settings
        The rules; the trade's own when left out.
    start
        The frame at which the recording starts, which may lie between frames. Exposures lie on multiples of
        ``on``; the first mouth is that of the exposure in which the recording starts, the last that of the
        exposure in which it ends.
    """
    settings = settings or ReadingSettings()
    first = floor(start / on)
    end = start + Fraction(track.samples, SAMPLING) * rate
    last = max(ceil(end / on), first)
    mouths = []
    for i in range(first, last):
        lo, hi = ((Fraction((i + d) * on + settings.lead_frames) - start) / rate * PER_SECOND for d in (0, 1))
        shape, opening = _mouth(track, settings, max(0, round(lo)), max(0, round(hi)))
        mouths.append(Mouth(i * on, on, shape, opening))
    return Reading(rate, on, joined(tuple(mouths)))


def _mouth(track: Track, settings: ReadingSettings, lo: int, hi: int) -> tuple[Shape, float]:
    speech: Curve = track.speech[lo:hi]
    if not len(speech) or speech.mean() < settings.speech:
        return "shut", 0.0
    opening = float(round(track.opening[lo:hi].mean() * settings.steps) / settings.steps)
    return ("open" if opening >= settings.open else "small"), max(opening, 1 / settings.steps)
