"""What effects are made of: noise in bands, ringing bodies, gliding voices, and a small room around them.

Everything here is mono float64 at 48 kHz until :func:`placed` makes it stereo. Chance comes in as a
generator, so that a seed always gives the same sound.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.signal import butter, lfilter, oaconvolve, sosfilt

from splitpin.sound.loudness import measured
from splitpin.sound.source import SAMPLING, Sound, amplitude

Wave = NDArray[np.float64]
Chance = np.random.Generator

PEAK_DB = -3.0
"""The true peak that finished effects have, dBFS: loud, with room for a little gain."""


class Bounds(NamedTuple):
    """From where to where a parameter of an effect goes."""

    low: float
    high: float
    unit: str = ""


FRAME, HOP = 1024, 256


def count(seconds: float) -> int:
    """How many samples a time lasts."""
    return round(seconds * SAMPLING)


def clock(seconds: float) -> Wave:
    """The time of each sample, in seconds."""
    return np.arange(count(seconds)) / SAMPLING


def line(t: Wave, points: Sequence[tuple[float, float]]) -> Wave:
    """Straight lines through points ``(seconds, value)``, level before the first and after the last."""
    return np.interp(t, [p[0] for p in points], [p[1] for p in points])


def swell(t: Wave, rise: float, fall: float) -> Wave:
    """An envelope: a rounded rise over ``rise`` seconds, then a decay to a thousandth in ``fall``."""
    up = np.clip(t / max(rise, 1e-6), 0.0, 1.0)
    return np.sin(up * np.pi / 2) ** 2 * 10.0 ** (-3.0 * np.maximum(t - rise, 0.0) / fall)


def phase(hertz: ArrayLike) -> Wave:
    """The phase in radians of a tone whose pitch, given for each sample, may glide."""
    return np.asarray(2 * np.pi * np.cumsum(hertz) / SAMPLING, dtype=np.float64)


def band(wave: Wave, low: float, high: float, order: int = 2) -> Wave:
    """What lies between two frequencies; 0 leaves that side open."""
    if low and high:
        sos = butter(order, [low, high], "bandpass", fs=SAMPLING, output="sos")
    else:
        sos = butter(order, low or high, "highpass" if low else "lowpass", fs=SAMPLING, output="sos")
    return np.asarray(sosfilt(sos, wave), dtype=np.float64)


def wander(chance: Chance, samples: int, hertz: float) -> Wave:
    """A smooth random curve about 0, standard deviation 1, that changes about so many times a second."""
    knots = max(4, int(samples / SAMPLING * hertz) + 4)
    at = np.linspace(0, knots - 1, samples)
    values = chance.standard_normal(knots)
    whole = at.astype(int)
    share = at - whole
    share = share * share * (3 - 2 * share)
    ahead = np.minimum(whole + 1, knots - 1)
    return np.asarray(values[whole] * (1 - share) + values[ahead] * share, dtype=np.float64)


def coloured(wave: Wave, gains: Callable[[Wave, Wave], Wave]) -> Wave:
    """A wave through a filter that moves.

    Parameters
    ----------
    wave
        Anything, most often noise.
    gains
        From frequencies (Hz, as a row) and times (s, as a column) to gains, ``(times, frequencies)``.
    """
    window = np.hanning(FRAME + 1)[:-1]
    padded = np.pad(wave, (FRAME, FRAME))
    frames = np.lib.stride_tricks.sliding_window_view(padded, FRAME)[::HOP] * window
    times = (np.arange(len(frames)) * HOP + FRAME / 2 - FRAME) / SAMPLING
    hertz = np.fft.rfftfreq(FRAME, 1 / SAMPLING).astype(np.float64)
    shaped = np.fft.irfft(np.fft.rfft(frames, axis=1) * gains(hertz[None, :], times[:, None]), FRAME, axis=1)
    shaped *= window
    out = np.zeros(len(padded))
    for k, frame in enumerate(shaped):
        out[k * HOP : k * HOP + FRAME] += frame
    return out[FRAME : FRAME + len(wave)] / 1.5


def hill(hertz: Wave, middle: ArrayLike, octaves: float) -> Wave:
    """A gain that is 1 at one frequency and falls off on both sides, over so many octaves."""
    distance = np.log2(np.maximum(hertz, 20.0) / np.asarray(middle)) / octaves
    return np.asarray(np.exp(-(distance**2)), dtype=np.float64)


class Mode(NamedTuple):
    """One way in which a body rings."""

    hertz: float
    seconds: float
    """Until a thousandth is left."""
    gain: float


def ringing(modes: Sequence[Mode], seconds: float) -> Wave:
    """What a body sounds like when it is struck once at time 0: decaying sines."""
    t = clock(seconds)
    wave = np.zeros(len(t))
    for mode in modes:
        if mode.hertz < SAMPLING * 0.45:
            wave += mode.gain * np.sin(2 * np.pi * mode.hertz * t) * 10.0 ** (-3.0 * t / mode.seconds)
    return wave


def body(
    chance: Chance, base: float, ratios: Sequence[float], seconds: float, spread: float = 0.02
) -> list[Mode]:
    """Modes at ratios of a base frequency; the higher ones are softer and die sooner."""
    modes = []
    for k, ratio in enumerate(ratios):
        detuned = base * ratio * (1 + spread * chance.standard_normal() * min(k, 1))
        gain = (0.6 + 0.4 * chance.random()) / (1 + 0.45 * k)
        modes.append(Mode(detuned, seconds / (1 + 0.35 * k), gain))
    return modes


def struck(hits: Wave, response: Wave) -> Wave:
    """Hits (one number a sample) on a body with that response; as long as both together."""
    return np.asarray(oaconvolve(hits, response), dtype=np.float64)


def unit(wave: Wave) -> Wave:
    """The same wave with its largest value at 1."""
    return wave / max(float(np.abs(wave).max(initial=0.0)), 1e-12)


def hits_at(times: Sequence[float] | Wave, gains: Sequence[float] | Wave, seconds: float) -> Wave:
    """A silence of so many seconds with hits in it."""
    hits = np.zeros(count(seconds))
    places = np.round(np.asarray(times) * SAMPLING).astype(int)
    inside = (places >= 0) & (places < len(hits))
    np.add.at(hits, places[inside], np.asarray(gains)[inside])
    return hits


def string(chance: Chance, hertz: float, seconds: float, bright: float, ring: float) -> Wave:
    """A plucked string: Karplus and Strong 1983, with the tuning all-pass of Jaffe and Smith 1983.

    Parameters
    ----------
    chance
        How the finger leaves the string.
    hertz
        Its pitch.
    seconds
        How long it is heard.
    bright
        0 (a thumb) to 1 (a nail).
    ring
        Seconds until a thousandth is left.
    """
    period = SAMPLING / hertz
    whole = int(period - 0.5 - 0.1)
    rest = period - 0.5 - whole
    allpass = (1 - rest) / (1 + rest)
    loss = 10.0 ** (-3.0 / (ring * hertz))
    pluck = np.zeros(count(seconds))
    burst = chance.uniform(-1, 1, whole)
    pluck[:whole] = band(burst, 0, 1_200 + 9_000 * bright, 1)
    # Plucked at a quarter of its length: the fourth harmonic and its kin are missing.
    pluck -= 0.7 * np.roll(pluck, whole // 4) * (np.arange(len(pluck)) < whole * 2)
    # y = x + loss · z^-whole · mean(1, z^-1) · allpass · y, multiplied out.
    numerator = np.array([1.0, allpass])
    denominator = np.zeros(whole + 3)
    denominator[:2] = [1.0, allpass]
    denominator[whole : whole + 3] -= loss * 0.5 * np.array([allpass, 1 + allpass, 1.0])
    return np.asarray(lfilter(numerator, denominator, pluck), dtype=np.float64)


def room(chance: Chance, sound: Wave, wet: float = 0.12, seconds: float = 0.18) -> Wave:
    """Put a small room around a stereo wave ``(n, 2)``: a few reflections and a short tail."""
    t = clock(seconds)
    tail = np.stack([band(chance.standard_normal(len(t)), 250, 6_500, 1) for _ in range(2)], axis=1)
    tail *= (10.0 ** (-3.0 * t / seconds) * np.clip((t - 0.004) / 0.004, 0, 1))[:, None]
    for side in range(2):
        for delay in chance.uniform(0.004, 0.03, 5):
            tail[count(delay), side] += chance.uniform(1.5, 4.0) * (1 - delay / 0.04)
    tail /= np.sqrt(np.square(tail).sum(axis=0))
    around = oaconvolve(sound, tail, axes=0)
    out = np.pad(sound, ((0, len(tail) - 1), (0, 0)))
    return np.asarray(out + wet * around, dtype=np.float64)


def placed(wave: Wave, pan: ArrayLike = 0.0) -> Wave:
    """A mono wave between left (-1) and right (1), one place or one for each sample."""
    theta = (np.asarray(pan) + 1.0) * np.pi / 4.0
    left, right = np.broadcast_arrays(np.cos(theta), np.sin(theta), wave)[:2]
    return np.stack([wave * left, wave * right], axis=1)


def finished(sound: Wave, peak_db: float = PEAK_DB) -> Sound:
    """A stereo wave made ready: no rumble, no click at its end, no silence after it, its peak as told."""
    clean = np.stack([band(side, 30, 0) for side in sound.T], axis=1)
    loud = np.flatnonzero(np.abs(clean).max(axis=1) > np.abs(clean).max() * amplitude(-66))
    clean = clean[: loud[-1] + 1 + count(0.005)]
    edge = min(count(0.003), len(clean) // 4)
    clean[-edge:] *= np.cos(np.arange(edge) / edge * np.pi / 2)[:, None] ** 2
    gain = amplitude(peak_db - measured([clean.astype(np.float32)]).true_peak)
    return np.asarray(clean * gain, dtype=np.float32)
