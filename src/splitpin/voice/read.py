"""A track becomes mouths."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from splitpin.sound.source import SAMPLING
from splitpin.voice.activity import runs
from splitpin.voice.listen import track_of
from splitpin.voice.mouth import Mouth, Reading, Shape, joined
from splitpin.voice.settings import ReadingSettings
from splitpin.voice.track import PER_SECOND, Track

__all__ = ["read", "track_of"]

STARTS = 0.2
"""An exposure in which speech starts is spoken when so much of it is: a mouth that opens late is seen, one
that opens early is not. (Schwartz & Savariaux 2014)"""

ENOUGH, COSTS = 0.4, 0.7
"""A short closure that lies in two exposures goes to the one in which it hides the least of a vowel: so much
of an exposure is enough of a closure, and each place counts against it by so much of its opening. [T]"""

COVERED = 0.7
"""Lips that are shut for so much of an exposure are shut on it, besides the one they are shut on most."""


def read(
    track: Track,
    rate: Fraction,
    on: int,
    settings: ReadingSettings | None = None,
    start: Fraction = Fraction(0),
) -> Reading:
    """One mouth for each exposure of a recording.

    A closure of the lips goes before the start of speech, and that before what fills most of an exposure.

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
    count = max(ceil(end / on) - first, 0)
    # Places of the track at which exposures start; they may lie before its first and after its last.
    edges = np.array(
        [
            float((Fraction((first + i) * on + settings.lead_frames) - start) / rate * PER_SECOND)
            for i in range(count + 1)
        ]
    )
    shut = _shut(track, edges, settings, ceil(settings.shut_frames / on))
    mouths = tuple(
        Mouth(
            (first + i) * on, on, *(("shut", 0.0) if shut[i] else _apart(track, edges[i : i + 2], settings))
        )
        for i in range(count)
    )
    return Reading(rate, on, joined(mouths), _gestures(track, rate, settings, start))


def _shut(
    track: Track, edges: NDArray[np.float64], settings: ReadingSettings, least: int
) -> NDArray[np.bool_]:
    """On which exposures the mouth is shut; never for fewer than ``least`` at a time if there are so many."""
    count = len(edges) - 1
    speech = track.speech >= settings.speech
    spoken = np.array([_share(speech, *edges[i : i + 2]) for i in range(count)])
    starting = np.array([_share(speech, edges[i] - 2, edges[i]) == 0 for i in range(count)])
    heard = np.array([track.opening[slice(*_places(*pair, len(speech)))].sum() for pair in pairwise(edges)])
    shut = spoken < np.where(starting, STARTS, 0.5)
    for a, b in runs(track.closure >= settings.closure):
        covered = np.minimum(edges[1:], b) - np.maximum(edges[:-1], a)
        enough = np.minimum(covered, ENOUGH * (edges[1:] - edges[:-1]))
        at = int(np.argmax(np.where(covered > 0, enough - COSTS * heard, -np.inf)))
        shut[at] = True
        shut |= covered >= COVERED * (edges[1:] - edges[:-1])
        # The lips stay together for their least time on the side where they are likelier to be.
        low, high = at, at + 1
        while high - low < min(least, count):
            before = _mean(track.closure, *edges[low - 1 : low + 1]) if low else -1.0
            after = _mean(track.closure, *edges[high : high + 2]) if high < count else -1.0
            low, high = (low - 1, high) if before >= after else (low, high + 1)
        shut[low:high] = True
    for a, b in runs(shut):
        shut[max(0, b - least) : b] = True
        shut[a : a + least] = True
    return np.asarray(shut)


def _apart(track: Track, edges: NDArray[np.float64], settings: ReadingSettings) -> tuple[Shape, float]:
    """Shape and opening of a mouth that is not shut, between two places."""
    lo, hi = _places(edges[0], edges[1], len(track.speech))
    weight = track.opening[lo:hi] ** 2 + 1e-6
    weight[track.closure[lo:hi] >= settings.closure] *= 0.1
    weight /= weight.sum()
    opening = float(track.opening[lo:hi] @ weight)
    step = max(1, round(opening * settings.steps)) / settings.steps
    if float(track.roundness[lo:hi] @ weight) >= settings.round:
        return "round", step
    return ("open" if opening >= settings.open else "small"), step


def _places(lo: float, hi: float, count: int) -> tuple[int, int]:
    """The places of a track nearest to a span, at least one."""
    first = min(max(round(lo), 0), count - 1)
    return first, min(max(round(hi), first + 1), count)


def _share(mask: NDArray[np.bool_], lo: float, hi: float) -> float:
    """How much of a span between places is true; none of what lies outside the track is."""
    first, last = max(0, round(lo)), min(len(mask), round(hi))
    return float(mask[first:last].sum()) / max(hi - lo, 1e-9) if last > first else 0.0


def _mean(curve: NDArray[np.float64], lo: float, hi: float) -> float:
    first, last = _places(lo, hi, len(curve))
    return float(curve[first:last].mean())


def _gestures(track: Track, rate: Fraction, settings: ReadingSettings, start: Fraction) -> tuple[int, ...]:
    """Frames on which gestures start, the strongest syllables first, none too near to another."""
    chosen: list[int] = []
    for place in np.argsort(-track.stress, kind="stable"):
        if track.stress[place] < settings.stress:
            break
        frame = floor(start + Fraction(int(place), PER_SECOND) * rate + Fraction(1, 2))
        frame = max(frame - settings.gesture_lead_frames, floor(start))
        if all(abs(frame - other) >= settings.gesture_gap_frames for other in chosen):
            chosen.append(frame)
    return tuple(sorted(chosen))
