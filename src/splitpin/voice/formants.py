"""The two lowest resonances of the mouth, which tell how far the jaw is down and the lips forward.

Linear prediction over the lowest few kilohertz alone (Makhoul 1975, selective linear prediction, from
memory): the autocorrelation comes from that part of the power spectrum. The poles of the predictor that are
narrow enough are candidates, and the smoothest way through them is taken.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.sound.source import SAMPLING
from splitpin.voice.spectrum import Spectra
from splitpin.voice.track import Curve

ORDER = 12
"""Poles: two for each formant that a mouth of ordinary length has in the span, and two for the rest. [T]"""

WIDEST = 500.0
"""Hertz; a wider pole is no formant. [T]"""

FIRST, SECOND = (180.0, 1100.0), (550.0, 3000.0)
"""Hertz between which the two formants of any voice lie. [M]"""

USUAL = (500.0, 1500.0)
"""Hertz of the two in the middle of all vowels: a tube 17 cm long, open at one end (calc)."""

STEEP, WIDE = 9.0, 1.0
"""What a leap of a formant by a factor of e costs on the way, and a pole as wide as allowed."""


class Formants(NamedTuple):
    """The two lowest formants at each place, Hz."""

    first: Curve
    second: Curve


def formants_of(long: Spectra, span: float) -> Formants:
    """Follow the two lowest formants.

    Parameters
    ----------
    long
        Power spectra of long windows.
    span
        How far up to look, Hz: 5,000 for deep voices, 5,500 for high ones.
    """
    hertz, widths = _poles(_predictors(long, span), span)
    return _followed(hertz, widths)


def _predictors(long: Spectra, span: float) -> NDArray[np.float64]:
    """Coefficients of the predictor at each place, ``(places, ORDER + 1)``, by Levinson's recursion."""
    top = round(span * 2 * (long.shape[1] - 1) / SAMPLING)
    angle = np.linspace(0, np.pi, top + 1)
    raised = long[:, : top + 1] * (1 + 0.95**2 - 2 * 0.95 * np.cos(angle))
    wave = np.fft.irfft(raised, axis=1)[:, : ORDER + 1]
    wave[:, 0] = wave[:, 0] * (1 + 1e-6) + 1e-30
    a = np.zeros_like(wave)
    a[:, 0] = 1.0
    error = wave[:, 0].copy()
    for i in range(1, ORDER + 1):
        k = -np.einsum("nj,nj->n", a[:, :i], wave[:, i:0:-1]) / error
        a[:, 1 : i + 1] += k[:, None] * a[:, i - 1 :: -1][:, :i]
        error *= 1 - k * k
    return a


def _poles(a: NDArray[np.float64], span: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Frequencies, ascending, and bandwidths of the poles above the real axis, Hz; infinity where none is."""
    companion = np.zeros((len(a), ORDER, ORDER))
    companion[:, 0] = -a[:, 1:]
    companion[:, np.arange(1, ORDER), np.arange(ORDER - 1)] = 1.0
    roots = np.linalg.eigvals(companion)
    hertz = np.angle(roots) * span / np.pi
    widths = -2 * np.log(np.maximum(np.abs(roots), 1e-9)) * span / (2 * np.pi) * 2
    hertz = np.where((hertz > FIRST[0]) & (widths < WIDEST), hertz, np.inf)
    order = np.argsort(hertz, axis=1)[:, : ORDER // 2]
    return np.take_along_axis(hertz, order, 1), np.take_along_axis(widths, order, 1)


_LOW, _HIGH = np.triu_indices(ORDER // 2, 1)


def _followed(hertz: NDArray[np.float64], widths: NDArray[np.float64]) -> Formants:
    """The cheapest way through all pairs of candidates (Viterbi)."""
    count = len(hertz)
    first, second = hertz[:, _LOW], hertz[:, _HIGH]
    good = (first < FIRST[1]) & (second > SECOND[0]) & (second < SECOND[1]) & (second > first * 1.2)
    none = np.logical_not(np.any(good, axis=1, keepdims=True))[:, 0]
    first, second = np.where(good, first, USUAL[0]), np.where(good, second, USUAL[1])
    width = np.where(good, widths[:, _LOW] + widths[:, _HIGH], 2 * WIDEST) / (2 * WIDEST)
    far = np.abs(np.log(first / USUAL[0])) * 0.15 + np.abs(np.log(second / USUAL[1])) * 0.15
    here = WIDE * width + far + np.where(good | none[:, None], 0.0, 1e6)
    f, s = np.log(first), np.log(second)
    cost, back = here[0] if count else np.zeros(0), np.zeros((count, len(_LOW)), int)
    for i in range(1, count):
        leap = np.abs(f[i][:, None] - f[i - 1]) + np.abs(s[i][:, None] - s[i - 1])
        ways = cost + (0.0 if none[i] or none[i - 1] else STEEP / 10) * leap
        back[i] = np.argmin(ways, axis=1)
        cost = here[i] + ways[np.arange(len(_LOW)), back[i]]
    at = np.zeros(count, int)
    if count:
        at[-1] = int(np.argmin(cost))
    for i in range(count - 1, 0, -1):
        at[i - 1] = back[i][at[i]]
    every = np.arange(count)
    return Formants(first[every, at], second[every, at])
