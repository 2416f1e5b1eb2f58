"""Where the beats of a piece of music fall.

How strongly something begins is listened for every 5 ms; how that repeats gives the tempo; then the run of
moments is looked for that are at once strong and evenly spaced, by dynamic programming (after Ellis, "Beat
tracking by dynamic programming", 2007, from memory). Each beat is laid on the attack nearest to it; where all
lie on one even grid, as in music that a machine or a steady hand plays, the grid takes their place.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.sound.source import SAMPLING, Sound

Wave = NDArray[np.float64]

HOP = SAMPLING // 200
"""Samples between one look and the next: 5 ms."""
WINDOW = 512
"""Samples looked at, 10.7 ms: short, so that an attack is found where it is."""
LEAD = 40
"""Looks at silence before the start, so that a sound that begins at once has a beginning."""
SLOWEST, FASTEST = 40.0, 240.0
"""Beats a minute."""
USUAL, SPREAD = 110.0, 0.9
"""Beats a minute that are taken for likeliest, and octaves about them. [T]"""
AS_GOOD = 0.75
"""A faster tempo is taken when it fits nearly as well: every second beat is not the beat. [T]"""
TIGHT = 30.0
"""How much evenness counts against strength: loose enough to follow a player who hurries. [T]"""
CLEAR = 0.14
"""How much of all that begins must begin again a beat, two and three later, for there to be a beat: noise
stays under it. [T]"""
FINE = SAMPLING // 1000
"""Samples of a cell of the fine envelope: 1 ms."""
NEAR = 30
"""Cells by which an attack may lie beside its beat."""
EVEN = 0.015
"""Seconds: beats that lie so near a grid, at the median, are on it. [T]"""


class Beats(NamedTuple):
    """The beats of a sound."""

    tempo: float
    """Beats a minute."""
    first: float
    """The first one, seconds after the start."""
    beats: tuple[float, ...]
    """All of them, seconds after the start."""
    even: bool
    """Whether they lie on one grid, so that ``tempo`` and ``first`` say it all."""


def find_beats(blocks: Iterable[Sound], near: float | None = None) -> Beats | None:
    """The beats of a sound; None when nothing in it repeats.

    Parameters
    ----------
    blocks
        The sound, in blocks of any size. It is held in memory, on one side.
    near
        About how many beats a minute there are, where a person knows: half and twice as many fit as well.
    """
    mono = np.concatenate([np.zeros(0), *(b.mean(axis=1, dtype=np.float64) for b in blocks)])
    if len(mono) < 2 * SAMPLING or not mono.any():
        return None
    strength = onsets(mono)
    period = _period(strength, *((USUAL, SPREAD) if near is None else (near, SPREAD / 6)))
    if period is None:
        return None
    coarse = (_track(strength, period) - LEAD) * HOP / SAMPLING
    beats, weights = _on_attacks(mono, coarse)
    if len(beats) < 4:
        return None
    grid = _grid(beats, weights)
    if grid is None:
        whole = tuple(round(float(b), 3) for b in beats)
        return Beats(60.0 / float(np.median(np.diff(beats))), whole[0], whole, even=False)
    start, step = grid
    # A first beat a hair before the start is the one on it.
    first = start - np.floor((start + EVEN) / step) * step
    count = int((len(mono) / SAMPLING - first) // step) + 1
    whole = tuple(float(max(0.0, first + k * step)) for k in range(count))
    return Beats(60.0 / step, whole[0], whole, even=True)


def onsets(mono: Wave) -> Wave:
    """How strongly something begins, every 5 ms, ``LEAD`` looks early; in units of its own deviation."""
    padded = np.concatenate([np.zeros(LEAD * HOP + WINDOW // 2), mono, np.zeros(WINDOW)])
    looks = np.lib.stride_tricks.sliding_window_view(padded, WINDOW)[::HOP]
    window = np.hanning(WINDOW)
    strength = np.zeros(len(looks))
    before = np.zeros(WINDOW // 2 + 1)
    for start in range(0, len(looks), 4096):
        # The root of the magnitude: soft bands count too, and yet the strongest attack wins.
        part = np.sqrt(np.abs(np.fft.rfft(looks[start : start + 4096] * window, axis=1)))
        rise = np.diff(np.vstack([before, part]), axis=0)
        strength[start : start + len(part)] = np.maximum(rise, 0.0).sum(axis=1)
        before = part[-1]
    smooth = np.convolve(strength, np.hanning(7) / np.hanning(7).sum(), "same")
    local = np.convolve(smooth, np.ones(200) / 200, "same")
    clear = np.maximum(smooth - local, 0.0)
    return np.asarray(clear / max(float(clear.std()), 1e-12), dtype=np.float64)


def _period(strength: Wave, usual: float, spread: float) -> float | None:
    """How many looks lie between two beats; None when there are no beats."""
    size = 1 << (2 * len(strength) - 1).bit_length()
    spectrum = np.fft.rfft(strength - strength.mean(), size)
    like = np.fft.irfft(np.abs(spectrum) ** 2, size)[: len(strength)]
    per_minute = 60.0 * SAMPLING / HOP
    low, high = int(per_minute / FASTEST), min(int(per_minute / SLOWEST), len(like) // 2 - 4)
    if high <= low + 2 or like[0] <= 0:
        return None
    lags = np.arange(low, high + 1)
    # A beat repeats over two and three beats as well; sound is never even to 5 ms, so neighbours count.
    wide = np.convolve(np.concatenate([like[3:0:-1], like]), np.hanning(9)[1:-1], "valid")
    thrice = np.minimum(3 * lags, len(wide) - 1)
    score = wide[lags] + 0.5 * wide[2 * lags] + 0.33 * wide[thrice]
    score *= np.exp(-0.5 * (np.log2(per_minute / lags / usual) / spread) ** 2)
    peaks = np.flatnonzero((score[1:-1] >= score[:-2]) & (score[1:-1] > score[2:])) + 1
    good = [int(p) for p in peaks if score[p] >= AS_GOOD * score[peaks].max() and score[p] > 0]
    if not good:
        return None
    best = good[0]
    if (wide[lags[best]] + wide[2 * lags[best]] + wide[thrice[best]]) / 3 < CLEAR * wide[0]:
        return None
    left, middle, right = score[best - 1 : best + 2]
    return float(lags[best] + 0.5 * (left - right) / (left - 2 * middle + right))


def _track(strength: Wave, period: float) -> NDArray[np.int64]:
    """The looks on which the beats fall."""
    gaps = np.arange(round(period / 2), round(2 * period) + 1)[::-1]
    uneven = -TIGHT * np.log(gaps / period) ** 2
    count, longest = len(strength), int(gaps[0])
    total = np.concatenate([np.zeros(longest), strength])
    came_from = np.full(count, -1, dtype=np.int64)
    for k in range(count):
        scores = total[k : k + len(gaps)] + uneven
        best = int(scores.argmax())
        if k - gaps[best] >= 0 and scores[best] > 0:
            total[longest + k] += scores[best]
            came_from[k] = k - gaps[best]
    score = total[longest:]
    last = max(0, count - round(period))
    at = last + int(score[last:].argmax())
    beats: list[int] = []
    while at >= 0:
        beats.append(at)
        at = int(came_from[at])
    found = np.array(beats[::-1], dtype=np.int64)
    heard = np.flatnonzero(strength[found] > 0.5)  # nothing begins before the music or after its end
    return found[heard[0] : heard[-1] + 1] if len(heard) else found[:0]


def _on_attacks(mono: Wave, beats: Wave) -> tuple[Wave, Wave]:
    """Each beat on the attack nearest to it, and how clear that attack is (0 for none)."""
    lead = NEAR + 12
    padded = np.concatenate([np.zeros(lead * FINE), np.diff(mono, prepend=0.0), np.zeros(2 * lead * FINE)])
    cells = padded[: len(padded) // FINE * FINE].reshape(-1, FINE)
    summed = np.concatenate([[0.0], np.cumsum(np.square(cells).sum(axis=1))])
    loud = np.sqrt(np.maximum(summed[10:] - summed[:-10], 0.0))  # of 10 ms from each cell on
    rise = np.concatenate([np.zeros(10), loud[10:] - loud[:-10]])  # after a cell against before it
    placed, clear = np.zeros(len(beats)), np.zeros(len(beats))
    for i, beat in enumerate(beats):
        middle = round(beat * 1000) + lead
        first = max(0, middle - NEAR)
        near = rise[first : middle + NEAR + 1]
        at = int(near.argmax()) if len(near) else 0
        clear[i] = max(0.0, float(near[at])) if len(near) else 0.0
        placed[i] = (first + at - lead) / 1000 if clear[i] > 0 else beat
    strong = clear > 0.1 * clear.max(initial=0.0)
    return np.where(strong, placed, beats), np.where(strong, np.sqrt(clear), 0.0)


def _grid(beats: Wave, weights: Wave) -> tuple[float, float] | None:
    """Start and step of the grid on which all beats lie; None when they do not."""
    k = np.round((beats - beats[0]) / np.median(np.diff(beats)))
    step, start = np.polyfit(k, beats, 1)
    for _ in range(20):
        away = np.abs(beats - start - step * k)
        trust = weights / (1.0 + (away / 0.005) ** 2) + 1e-9
        step, start = np.polyfit(k, beats, 1, w=np.sqrt(trust))
    away = np.abs(beats - start - step * k)
    return (float(start), float(step)) if float(np.median(away)) <= EVEN else None
