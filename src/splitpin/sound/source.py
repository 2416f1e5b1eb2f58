"""Where sound comes from: anything that gives its samples from any place."""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

SAMPLING = 48_000
"""Samples a second, everywhere inside the house."""

SILENT_DBFS = -70.0
"""A source whose loudest sample lies under this has nothing audible in it; the absolute gate of BS.1770."""

BLOCK = 65_536
"""Samples read at once where nobody says otherwise."""

Sound = NDArray[np.float32]
"""Samples of shape ``(n, 2)``, left and right, full scale ±1, at :data:`SAMPLING`."""


class SoundError(Exception):
    """A sound that cannot be used: what was found where, what was expected, and what to do."""

    def __init__(self, where: str, found: str, expected: str, remedy: str) -> None:
        super().__init__(f"{where}: found {found}; expected {expected}; {remedy}")
        self.where = where
        self.found = found
        self.expected = expected
        self.remedy = remedy


class Source(Protocol):
    """A sound that can be read from any place."""

    @property
    def frames(self) -> int:
        """How long it is, in samples."""

    def read(self, start: int, count: int) -> Sound:
        """``count`` samples from ``start`` on; the caller stays within ``0 <= start``, ``start + count <=
        frames``.
        """


class Samples:
    """A source that lies in memory."""

    def __init__(self, sound: Sound) -> None:
        self._sound = sound

    @property
    def frames(self) -> int:
        """How long it is, in samples."""
        return len(self._sound)

    def read(self, start: int, count: int) -> Sound:
        """``count`` samples from ``start`` on."""
        return self._sound[start : start + count]


def decibels(ratio: float) -> float:
    """A ratio of amplitudes in decibels; minus infinity for none."""
    return float(20.0 * np.log10(ratio)) if ratio > 0 else float("-inf")


def amplitude(db: float) -> float:
    """The ratio of amplitudes that is so many decibels."""
    return float(10.0 ** (db / 20.0))


def peak_of(source: Source) -> float:
    """The largest sample of a source, without sign, in full scales."""
    peak = 0.0
    for start in range(0, source.frames, BLOCK):
        block = source.read(start, min(BLOCK, source.frames - start))
        peak = max(peak, float(np.abs(block).max(initial=0.0)))
    return peak


def is_silent(source: Source) -> bool:
    """Whether nothing of a source can be heard: all of it lies under :data:`SILENT_DBFS`."""
    return peak_of(source) < amplitude(SILENT_DBFS)
