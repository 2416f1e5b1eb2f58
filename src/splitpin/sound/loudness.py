"""Loudness of stereo programme at 48 kHz: ITU-R BS.1770-5, EBU Tech 3341 (momentary, short-term, integrated),
EBU Tech 3342 (loudness range), and true peak.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable
from math import inf

import numpy as np
from numpy.typing import NDArray

from splitpin.sound.oversample import AFTER, BEFORE, WORST, point_peaks
from splitpin.sound.source import SAMPLING, Sound, decibels

CELL = SAMPLING // 100
"""The energy of every 10 ms is kept, and nothing else of the sound."""

STEP = 10
"""Cells between one measuring block and the next: 100 ms, the 75 % overlap of BS.1770."""

CHUNK = 20 * CELL

K_WEIGHTING = np.array(
    [
        [1.53512485958697, -2.69169618940638, 1.19839281085285, 1.0, -1.69065929318241, 0.73248077421585],
        [1.0, -2.0, 1.0, 1.0, -1.99004745483398, 0.99007225036621],
    ]
)
"""The head and the low cut at 48 kHz: BS.1770, annex 1, tables 1 and 2."""

ABSOLUTE_GATE = -70.0
"""LUFS; BS.1770."""


def loudness_of(energy: float | NDArray[np.float64]) -> NDArray[np.float64]:
    """LUFS of a mean square summed over left and right (BS.1770 annex 1, equation 2)."""
    with np.errstate(divide="ignore"):
        return np.asarray(-0.691 + 10.0 * np.log10(energy), dtype=np.float64)


def sliding_energy(cells: NDArray[np.float64], tenths: int) -> NDArray[np.float64]:
    """The mean square of each span of so many tenths of a second, one every 100 ms, whole ones only."""
    steps = cells[: len(cells) // STEP * STEP].reshape(-1, STEP).sum(axis=1)
    if len(steps) < tenths:
        return np.zeros(0)
    sums = np.lib.stride_tricks.sliding_window_view(steps, tenths).sum(axis=1)
    return np.asarray(sums / (tenths * STEP * CELL), dtype=np.float64)


def gated(cells: NDArray[np.float64]) -> float:
    """Integrated loudness in LUFS from the weighted energy of cells; minus infinity when nothing passes the
    gate.

    Blocks of 400 ms, the gate at -70 LUFS, then the one 10 LU under what passed (BS.1770 annex 1, equations 3
    to 7).
    """
    blocks = sliding_energy(cells, 4)
    heard = blocks[loudness_of(blocks) > ABSOLUTE_GATE]
    if not len(heard):
        return -inf
    heard = heard[loudness_of(heard) > loudness_of(heard.mean()) - 10.0]
    return float(loudness_of(heard.mean()))


def _weighted(sound: NDArray[np.floating], state: NDArray[np.float64]) -> NDArray[np.float64]:
    # Fetched when something is measured: compiled code takes long to load.
    from splitpin.sound.biquad import filtered

    return np.asarray(filtered(K_WEIGHTING, sound, state))


class Meter:
    """Measures sound as it goes by, in blocks of any size.

    Memory grows by two numbers every 10 ms, whatever the sound. All results are of what was pushed so far.
    """

    def __init__(self) -> None:
        self._pending = np.zeros((0, 2), dtype=np.float32)
        self._state = np.zeros((2, 2, 2))
        self._context = np.zeros((2, BEFORE + AFTER), dtype=np.float32)
        self._true_peak = 0.0
        self._energy = array("d")
        self._peaks = array("f")
        self.samples = 0

    def push(self, block: Sound) -> None:
        """Measure the next samples, shape ``(n, 2)``."""
        self.samples += len(block)
        joined = np.concatenate([self._pending, block]) if len(self._pending) else block
        whole = len(joined) - len(joined) % CHUNK
        for start in range(0, whole, CHUNK):
            self._measure(np.ascontiguousarray(joined[start : start + CHUNK].T))
        self._pending = joined[whole:].copy()

    def _measure(self, chunk: NDArray[np.float32]) -> None:
        weighted = _weighted(chunk, self._state)
        # What has died away is taken for nothing, else silence would be reckoned in slow subnormal numbers.
        self._state[np.abs(self._state) < 1e-30] = 0.0
        self._energy.extend(np.square(weighted).reshape(2, -1, CELL).sum(axis=(0, 2)))
        self._peaks.extend(np.abs(chunk).reshape(2, -1, CELL).max(axis=(0, 2)))
        self._true_peak, self._context = self._peak_after(chunk)

    def _peak_after(self, chunk: NDArray[np.float32]) -> tuple[float, NDArray[np.float32]]:
        sound = np.concatenate([self._context, chunk], axis=1)
        context = sound[:, -(BEFORE + AFTER) :].copy()
        if float(np.abs(sound).max()) * WORST <= self._true_peak:
            return self._true_peak, context
        return max(self._true_peak, float(point_peaks(sound).max())), context

    @property
    def cells(self) -> NDArray[np.float64]:
        """The weighted energy of each 10 ms, summed over samples and channels."""
        return self._with_pending()[0]

    @property
    def peaks(self) -> NDArray[np.float64]:
        """The largest sample of each 10 ms, in full scales."""
        return self._with_pending()[1]

    def _with_pending(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        energy = np.array(self._energy, dtype=np.float64)
        peaks = np.array(self._peaks, dtype=np.float64)
        rest = self._pending[: len(self._pending) // CELL * CELL].T.copy()
        if not rest.size:
            return energy, peaks
        weighted = _weighted(rest, self._state.copy())
        more = np.square(weighted).reshape(2, -1, CELL).sum(axis=(0, 2))
        high = np.abs(rest).reshape(2, -1, CELL).max(axis=(0, 2))
        return np.concatenate([energy, more]), np.concatenate([peaks, high])

    @property
    def integrated(self) -> float:
        """Loudness of the whole, LUFS; minus infinity when nothing passes the gate."""
        return gated(self.cells)

    @property
    def momentary(self) -> NDArray[np.float64]:
        """Loudness of each 400 ms, one every 100 ms, LUFS."""
        return loudness_of(sliding_energy(self.cells, 4))

    @property
    def short_term(self) -> NDArray[np.float64]:
        """Loudness of each 3 s, one every 100 ms, LUFS."""
        return loudness_of(sliding_energy(self.cells, 30))

    @property
    def range(self) -> float:
        """Loudness range, LU: from the 10th to the 95th percentile of the short-term loudness that passes the
        gates at -70 LUFS and 20 LU under the rest (EBU Tech 3342); 0 for less than 3 s.
        """
        energy = sliding_energy(self.cells, 30)
        energy = energy[loudness_of(energy) >= ABSOLUTE_GATE]
        if not len(energy):
            return 0.0
        loudness = loudness_of(energy)
        kept = np.sort(loudness[loudness >= loudness_of(energy.mean()) - 20.0])
        low, high = (kept[round((len(kept) - 1) * share)] for share in (0.10, 0.95))
        return float(high - low)

    @property
    def true_peak(self) -> float:
        """The largest value at or between the samples, dBTP; minus infinity for silence."""
        end = np.zeros((2, BEFORE + AFTER), dtype=np.float32)
        peak, _ = self._peak_after(np.concatenate([self._pending.T, end], axis=1))
        return decibels(peak)


def measured(blocks: Iterable[Sound]) -> Meter:
    """A meter that has heard all of some sound."""
    meter = Meter()
    for block in blocks:
        meter.push(block)
    return meter
