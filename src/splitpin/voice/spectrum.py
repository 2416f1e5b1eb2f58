"""What frequencies are in a voice, every 10 ms."""

from __future__ import annotations

from math import ceil

import numpy as np
from numpy.typing import NDArray

from splitpin.sound.source import SAMPLING
from splitpin.voice.track import STEP

WINDOW = 1920
"""Samples looked at for one place: 40 ms, so that the lowest voices show two of their periods."""
SHORT = 960
"""Samples looked at where a closure of the lips must not be smeared over: 20 ms."""
LONG_SIZE, SHORT_SIZE = 4096, 2048
"""Samples of their transforms; 12 and 23 Hz apart."""

EDGES = (80, 250, 400, 600, 850, 1150, 1500, 1950, 2500, 3200, 4200, 5600, 7600)
"""Limits of the bands, Hz: about two to three critical bands each, up to where telephone-like recordings
still hold something."""

Spectra = NDArray[np.float64]
"""Power of shape ``(places, bins)``."""


def mono_of(sound: NDArray[np.float32]) -> NDArray[np.float64]:
    """The middle of all channels; what is no number is silence."""
    wave = np.asarray(sound, np.float64)
    wave = np.where(np.isfinite(wave), wave, 0.0)
    return np.asarray(wave.mean(axis=1) if wave.ndim > 1 else wave)


def spectra_of(mono: NDArray[np.float64], window: int = SHORT, size: int = SHORT_SIZE) -> Spectra:
    """Power spectra of windows (Hann) around the middle of each 10 ms.

    A sine of amplitude 1 has a power of about 1 in its strongest bin.
    """
    count = ceil(len(mono) / STEP)
    before = (window - STEP) // 2
    padded = np.pad(mono, (before, count * STEP - len(mono) + window))
    frames = np.lib.stride_tricks.sliding_window_view(padded, window)[: count * STEP : STEP]
    hann = np.hanning(window + 2)[1:-1]
    spectrum = np.fft.rfft(frames * (2 * hann / hann.sum()), size)
    return np.asarray(np.square(np.abs(spectrum)))


def bands_of(spectra: Spectra) -> NDArray[np.float64]:
    """Power of each band between :data:`EDGES`, of shape ``(places, bands)``."""
    bins = np.round(np.array(EDGES) * 2 * (spectra.shape[1] - 1) / SAMPLING).astype(int)
    return np.asarray(np.add.reduceat(spectra[:, : bins[-1]], bins[:-1], axis=1))
