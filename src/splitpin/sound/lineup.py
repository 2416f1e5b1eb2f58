"""Tones to line machines up by: a pure 1 kHz, as loud as somebody says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from splitpin.sound.source import BLOCK, SAMPLING, Sound, amplitude

HERTZ = 1000


def tones(length: int, spans: Sequence[tuple[int, int]], db: float) -> Iterator[Sound]:
    """Silence with tones in it, block by block.

    Every tone begins at nought, and 48 samples make a wave, so that tones of whole waves end there too.

    Parameters
    ----------
    length
        Samples.
    spans
        First sample of each tone, and the first after it.
    db
        The peak of the wave against full scale, decibels.
    """
    for start in range(0, length, BLOCK):
        block = np.zeros((min(BLOCK, length - start), 2), np.float32)
        for first, end in spans:
            low, high = max(first, start), min(end, start + len(block))
            if low < high:
                wave = np.sin(2 * np.pi * HERTZ / SAMPLING * np.arange(low - first, high - first))
                block[low - start : high - start] = (amplitude(db) * wave)[:, None]
        yield block


def after(blocks: Iterable[Sound], count: int) -> Iterator[Sound]:
    """A sound without its first samples."""
    for block in blocks:
        if count < len(block):
            yield block[count:]
        count = max(0, count - len(block))
