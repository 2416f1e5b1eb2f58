"""The peaks between the samples.

ITU-R BS.1770 Annex 2: four times oversampled by a polyphase filter. The filter here is a windowed sinc
(Kaiser) whose first phase is the sample itself; it is flat within 0.11 dB up to 20 kHz at 48 kHz.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from splitpin.sound.source import Sound

TIMES = 4
"""Points a sample."""
BEFORE = 7
"""Samples that a point needs before it."""
AFTER = 8
"""Samples that a point needs after it."""


def _phases() -> NDArray[np.float32]:
    taps = np.arange(-BEFORE, AFTER + 1, dtype=np.float64)
    phases = []
    for phase in range(1, TIMES):
        distance = taps - phase / TIMES
        window = np.i0(4.5 * np.sqrt(np.maximum(0.0, 1.0 - (distance / (AFTER + 0.25)) ** 2)))
        row = np.sinc(distance) * window
        phases.append(row / row.sum())
    return np.array(phases, dtype=np.float32)


PHASES = _phases()
WORST = float(np.abs(PHASES).sum(axis=1).max()) * (1 + 1e-5)
"""No point between samples is larger than the largest sample times this, the rounding of sums included."""


def point_peaks(sound: NDArray[np.float32]) -> NDArray[np.float32]:
    """The largest value at or shortly after each sample, over both channels.

    Parameters
    ----------
    sound
        ``(2, BEFORE + n + AFTER)``.

    Returns
    -------
    array of n
        For each sample the largest magnitude among it and the points up to the next one.
    """
    count = sound.shape[1] - BEFORE - AFTER
    peaks = np.abs(sound[:, BEFORE : BEFORE + count]).max(axis=0)
    for channel in sound:
        windows = np.lib.stride_tricks.sliding_window_view(channel, BEFORE + AFTER + 1)
        points = np.abs(PHASES @ np.ascontiguousarray(windows.T))
        np.maximum(peaks, points.max(axis=0), out=peaks)
    return np.asarray(peaks, dtype=np.float32)


def regrouped(blocks: Iterable[Sound], size: int) -> Iterator[Sound]:
    """The same samples in blocks of ``size``, the last one shorter.

    What works on blocks of a fixed size gives the same bits however its samples arrive.
    """
    kept: list[Sound] = []
    have = 0
    for block in blocks:
        kept.append(block)
        have += len(block)
        if have < size:
            continue
        joined = np.concatenate(kept) if len(kept) > 1 else block
        whole = have - have % size
        for start in range(0, whole, size):
            yield joined[start : start + size]
        kept, have = [joined[whole:]], have - whole
    if have:
        yield np.concatenate(kept)
