"""Creatures, more or less: a throat with formants, glides and bad manners."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import numpy as np

from splitpin.sound.effects.craft import (
    Bounds,
    Chance,
    Wave,
    band,
    clock,
    coloured,
    count,
    finished,
    hill,
    hits_at,
    line,
    phase,
    placed,
    room,
    swell,
    wander,
)
from splitpin.sound.source import SAMPLING, Sound

Curve = Sequence[tuple[float, float]]


def throat(pitch: Wave, formants: Sequence[tuple[Wave, float, float]], tilt: float = 1.1) -> Wave:
    """A voice: harmonics of a pitch, each as loud as the formants make it at that moment.

    Parameters
    ----------
    pitch
        Hz, for each sample.
    formants
        Their middle (Hz, for each sample), width (Hz) and gain.
    tilt
        How fast the harmonics grow softer: the power of their number.
    """
    turns = phase(pitch)
    wave = np.zeros(len(pitch))
    for k in range(1, int(9_000 / pitch.min()) + 1):
        hertz = k * pitch
        gain = np.full(len(pitch), 0.012)
        for middle, width, loud in formants:
            gain += loud / (1 + ((hertz - middle) / width) ** 2)
        # Harmonics on their way out of hearing leave gently.
        gain *= np.clip((11_000 - hertz) / 3_000, 0, 1)
        wave += gain * np.sin(k * turns + 0.7 * k * k) / k**tilt
    return wave


def mrow(
    seed: int = 0,
    seconds: Annotated[float, Bounds(0.2, 5, "s")] = 0.85,
    hertz: Annotated[float, Bounds(150, 1200, "Hz")] = 430.0,
    asks: bool = True,
) -> Sound:
    """A cat says mrow; asked, it goes up at the end.

    Parameters
    ----------
    seed
        Another seed, another mood.
    seconds
        How long it takes over it.
    hertz
        Where its voice lies.
    asks
        Whether it is a question.
    """
    chance = np.random.default_rng(seed)
    t = clock(seconds)
    u = t / seconds
    end = [(0.78, 0.92), (1.0, 1.5)] if asks else [(0.75, 0.95), (1.0, 0.62)]
    pitch = hertz * line(u, [(0, 0.72), (0.16, 0.8), (0.42, 1.22), (0.6, 1.1), *end])
    pitch = pitch * (1 + 0.012 * np.sin(2 * np.pi * 6.2 * t) * u + 0.006 * wander(chance, len(t), 40))
    # m, r, ow: the mouth opens from shut, the tongue comes down, the lips round off.
    first = line(u, [(0, 260), (0.14, 300), (0.42, 980), (0.65, 860), (1, 430)])
    second = line(u, [(0, 1_000), (0.14, 1_250), (0.3, 1_500), (0.5, 1_750), (0.75, 1_250), (1, 850)])
    third = line(u, [(0, 2_300), (0.16, 1_900), (0.42, 2_900), (1, 2_600)])
    voice = throat(pitch, [(first, 110, 1.0), (second, 150, 0.8), (third, 220, 0.4)], 0.75)
    # The r of a cat is a flutter.
    flutter = 1 - 0.45 * line(u, [(0, 1), (0.15, 1), (0.3, 0)]) * (0.5 + 0.5 * np.sin(2 * np.pi * 27 * t))
    breath = coloured(
        chance.standard_normal(len(t)),
        lambda hz, at: hill(hz, np.interp(at, t, second), 0.5) + 0.5 * hill(hz, 4_200.0, 0.6),
    )
    breath *= 0.05 * np.abs(voice).max() / np.abs(breath).max()
    loud = line(
        u, [(0, 0), (0.05, 0.32), (0.16, 0.4), (0.36, 1), (0.62, 0.9), (0.9, 0.75 if asks else 0.4), (1, 0)]
    )
    return finished(room(chance, placed((voice * flutter + breath) * loud), 0.14, 0.22))


def burp(
    seed: int = 0,
    seconds: Annotated[float, Bounds(0.2, 5, "s")] = 0.62,
    hertz: Annotated[float, Bounds(30, 200, "Hz")] = 78.0,
) -> Sound:
    """A cup that has had enough.

    Parameters
    ----------
    seed
        Another seed, another meal.
    seconds
        How long it lasts.
    hertz
        How fast the gullet flaps.
    """
    chance = np.random.default_rng(seed)
    t = clock(seconds)
    u = t / seconds
    flap = hertz * line(u, [(0, 1.35), (0.12, 1.0), (0.55, 1.12), (0.85, 0.85), (1, 0.6)])
    flap = flap * (1 + 0.16 * wander(chance, len(t), 26))
    beats = np.flatnonzero(np.diff(np.floor(np.cumsum(flap) / SAMPLING)) > 0)
    gains = 1 + 0.35 * chance.standard_normal(len(beats))
    pulse = clock(0.012)
    shape = np.exp(-pulse / 0.0016) * np.sin(2 * np.pi * 210 * pulse)
    source = np.convolve(hits_at(beats / SAMPLING, gains, seconds), shape)[: len(t)]
    wet = chance.standard_normal(len(t)) * (0.25 + np.convolve(np.abs(source), np.ones(200) / 200, "same"))
    source = source + 0.22 * wet
    first = [(0, 330), (0.15, 560), (0.5, 690), (0.8, 520), (1, 340)]
    second = [(0, 780), (0.15, 960), (0.5, 1_160), (0.8, 900), (1, 700)]

    def mouth(hz: Wave, at: Wave) -> Wave:
        v = np.clip(at / seconds, 0, 1)
        one, two = (np.interp(v, [p[0] for p in c], [p[1] for p in c]) for c in (first, second))
        return (
            1.0 * hill(hz, one, 0.35)
            + 0.55 * hill(hz, two, 0.28)
            + 0.22 * hill(hz, 2_350.0, 0.3)
            + 0.3 * hill(hz, 150.0, 0.7)
        )

    voice = coloured(source, mouth)
    loud = line(u, [(0, 0), (0.04, 0.75), (0.2, 1), (0.55, 0.9), (0.7, 0.55), (0.8, 0.75), (1, 0)])
    # A cup is hollow: it answers at its own pitch.
    hollow = band(voice, 330, 470, 1)
    return finished(room(chance, placed((voice + 0.5 * hollow) * loud), 0.2, 0.25))


def squeak(
    seed: int = 0,
    seconds: Annotated[float, Bounds(0.1, 5, "s")] = 0.32,
    hertz: Annotated[float, Bounds(300, 4000, "Hz")] = 1_050.0,
) -> Sound:
    """A dry hinge, or a shoe, or a mouse of few words: up, a catch, and up again.

    Parameters
    ----------
    seed
        Another seed, another hinge.
    seconds
        How long it lasts.
    hertz
        Where its voice lies.
    """
    chance = np.random.default_rng(seed)
    t = clock(seconds)
    u = t / seconds
    pitch = hertz * line(u, [(0, 0.78), (0.38, 1.28), (0.46, 0.95), (1, 1.75)])
    pitch = pitch * (1 + 0.012 * wander(chance, len(t), 90) + 0.02 * np.sin(2 * np.pi * 47 * t))
    formants = [(np.full(len(t), 2_300.0), 700.0, 1.0), (np.full(len(t), 4_900.0), 900.0, 0.5)]
    voice = throat(pitch, formants, 0.6)
    loud = line(u, [(0, 0), (0.06, 0.8), (0.36, 1), (0.43, 0.12), (0.52, 0.9), (0.9, 0.7), (1, 0)])
    scratch = band(chance.standard_normal(len(t)), 2_500, 7_000, 1) * 0.03 * np.abs(voice).max()
    return finished(room(chance, placed((voice + scratch) * loud), 0.12))


HUMMED = ((0, 0.34), (4, 0.34), (7, 0.5), (5, 0.3), (4, 0.34), (2, 0.34), (0, 0.75))
"""Semitones above the first note, and seconds."""


def hum(
    seed: int = 0,
    hertz: Annotated[float, Bounds(80, 600, "Hz")] = 196.0,
    tune: Sequence[tuple[float, float]] = HUMMED,
) -> Sound:
    """Someone hums with a shut mouth, pleased with himself.

    Parameters
    ----------
    seed
        Another seed, another small unsteadiness.
    hertz
        The first note.
    tune
        Semitones above the first note, and seconds, for each note.
    """
    chance = np.random.default_rng(seed)
    t = clock(sum(length for _, length in tune))
    pitch, loud, at = np.zeros(len(t)), np.zeros(len(t)), 0
    for semitones, length in tune:
        n = count(length)
        note = clock(length)[: len(t) - at]
        pitch[at : at + n] = hertz * 2 ** (semitones / 12)
        loud[at : at + n] = np.sin(np.pi * np.clip(note / length, 0, 1)) ** 0.45
        at += n
    pitch[at:] = pitch[at - 1]
    smooth = np.hanning(count(0.07))
    edges = len(smooth) // 2
    pitch, loud = (
        np.convolve(np.pad(curve, edges, mode="edge"), smooth / smooth.sum(), "same")[edges : edges + len(t)]
        for curve in (pitch, loud)
    )
    pitch = pitch * (1 + 0.009 * np.sin(2 * np.pi * 5.4 * t) + 0.003 * wander(chance, len(t), 12))
    formants = [(np.full(len(t), 255.0), 90.0, 1.0), (np.full(len(t), 1_050.0), 200.0, 0.10)]
    formants.append((np.full(len(t), 2_200.0), 300.0, 0.04))
    voice = throat(pitch, formants, 1.2)
    return finished(room(chance, placed(voice * loud * _breathing(chance, t)), 0.14, 0.25))


def _breathing(chance: Chance, t: Wave) -> Wave:
    return swell(t, 0.02, 1e9) * (1 + 0.06 * wander(chance, len(t), 7))
