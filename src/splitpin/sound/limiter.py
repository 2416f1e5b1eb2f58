"""A limiter that looks ahead, for true peaks.

Each sample's overshoot is known 5 ms before it comes, so the gain slides down to it and is there in time; it
comes back at a steady rate. Both sides share one gain, so that nothing moves in the picture. Nothing is
touched where nothing is too loud.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from splitpin.sound.oversample import AFTER, BEFORE, WORST, point_peaks, regrouped
from splitpin.sound.source import SAMPLING, Sound, amplitude

REACH = SAMPLING * 5 // 2000
"""Half the time the gain takes to come down: 2.5 ms."""

RELEASE = 60.0 / SAMPLING
"""Decibels a sample at which the gain comes back."""

MARGIN = 0.05
"""Decibels kept free under the ceiling, since a gain that moves changes the points between the samples a
little.
"""

CHUNK = 9_600
DELAY = AFTER + 2 * REACH


def limited(blocks: Iterable[Sound], gain: float, ceiling: float) -> Iterator[Sound]:
    """The same sound, louder by ``gain`` and nowhere over ``ceiling``.

    Parameters
    ----------
    blocks
        Sound, in blocks of any size; the size makes no difference to any sample.
    gain
        Decibels.
    ceiling
        The true peak that nothing goes over, dBTP.

    Yields
    ------
    Sound
        As many samples as came in, in blocks of no set size.
    """
    limiter = _Limiter(amplitude(gain), amplitude(ceiling - MARGIN))
    early = DELAY
    for chunk in regrouped(_and_silence(blocks, DELAY), CHUNK):
        out = limiter.push(chunk)
        if early < len(out):
            yield out[early:]
        early = max(0, early - len(out))


def _and_silence(blocks: Iterable[Sound], samples: int) -> Iterator[Sound]:
    yield from blocks
    yield np.zeros((samples, 2), dtype=np.float32)


class _Limiter:
    """Four steps in a row, each of which keeps what it still needs; their delays add up to ``DELAY``."""

    def __init__(self, gain: float, ceiling: float) -> None:
        self._gain = gain
        self._ceiling = ceiling
        self._context = np.zeros((2, BEFORE + AFTER), dtype=np.float32)
        self._over = np.zeros(2 * REACH)
        self._needed = np.zeros(2 * REACH)
        self._sound = np.zeros((DELAY, 2))
        self._released = 0.0
        self._done = 0

    def push(self, chunk: Sound) -> Sound:
        """As many samples as come in, ``DELAY`` later."""
        louder = chunk * self._gain
        self._sound = np.concatenate([self._sound, louder])
        down = self._smooth(self._hold(self._overshoot(louder.T.astype(np.float32))))
        out, self._sound = self._sound[: len(chunk)], self._sound[len(chunk) :]
        if down.any():
            out = out * np.power(10.0, down / -20.0)[:, None]
        return out.astype(np.float32)

    def _overshoot(self, chunk: NDArray[np.float32]) -> NDArray[np.float64]:
        """By how many decibels each sample, or a point after it, is over the ceiling."""
        sound = np.concatenate([self._context, chunk], axis=1)
        self._context = sound[:, -(BEFORE + AFTER) :].copy()
        if float(np.abs(sound).max()) * WORST <= self._ceiling:
            return np.zeros(chunk.shape[1])
        return np.asarray(
            20.0 * np.log10(np.maximum(point_peaks(sound) / self._ceiling, 1.0)), dtype=np.float64
        )

    def _hold(self, over: NDArray[np.float64]) -> NDArray[np.float64]:
        """The largest overshoot within reach, then falling at the rate of release."""
        from scipy.ndimage import maximum_filter1d  # slow to load, and often nothing is limited

        count = len(over)
        joined = np.concatenate([self._over, over])
        self._over = joined[count:]
        high = maximum_filter1d(joined, 2 * REACH + 1)[REACH : REACH + count]
        # max(h[k] - (n - k) r) over all k <= n, as a running maximum on a ground that climbs by r.
        ground = RELEASE * np.arange(self._done, self._done + count)
        running = np.maximum.accumulate(np.concatenate([[self._released], high + ground]))[1:]
        self._released, self._done = float(running[-1]), self._done + count
        return np.asarray(running - ground, dtype=np.float64)

    def _smooth(self, needed: NDArray[np.float64]) -> NDArray[np.float64]:
        """The mean over a triangle as wide as the reach on both sides, so that no step is heard."""
        count = len(needed)
        joined = np.concatenate([self._needed, needed])
        self._needed = joined[count:]
        if not joined.any():
            return np.zeros(count)
        from scipy.ndimage import uniform_filter1d

        once = uniform_filter1d(joined, REACH + 1)
        return np.asarray(uniform_filter1d(once, REACH + 1)[REACH : REACH + count], dtype=np.float64)
