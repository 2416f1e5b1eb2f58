"""Things with a pitch that is meant: plinks, a slide whistle, a spring."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import numpy as np

from splitpin.sound.effects.contacts import COIN
from splitpin.sound.effects.craft import (
    Bounds,
    Chance,
    Mode,
    Wave,
    band,
    body,
    clock,
    count,
    finished,
    line,
    phase,
    placed,
    ringing,
    room,
    swell,
    wander,
)
from splitpin.sound.source import Sound

MAJOR = (0, 2, 4, 5, 7, 9, 11, 12)
"""Semitones above the first note."""


def bar(chance: Chance, hertz: float, seconds: float = 0.7) -> Wave:
    """A bar of wood struck with a soft mallet: the tuned modes of a marimba, 1, 4 and 10 (from memory)."""
    modes = [
        Mode(hertz, seconds, 1.0),
        Mode(hertz * 3.98, seconds * 0.28, 0.32),
        Mode(hertz * 9.9, seconds * 0.1, 0.12),
    ]
    wave = ringing(modes, seconds)
    knock = band(chance.standard_normal(len(wave)), 300, 2_200, 1) * swell(
        clock(seconds)[: len(wave)], 0.0008, 0.025
    )
    return np.asarray(wave + 0.09 * knock, dtype=np.float64)


def plink_wave(chance: Chance, hertz: float) -> Wave:
    """A coin that knows its note: a clear tone with the inharmonic shimmer of a struck plate."""
    wave = ringing([Mode(hertz, 0.6, 1.0), Mode(hertz * 2.0, 0.4, 0.35), Mode(hertz * 3.01, 0.25, 0.18)], 0.8)
    wave += 0.3 * ringing(body(chance, hertz * 2.76, COIN[:4], 0.22, 0.006), 0.8)
    wave[: count(0.0008)] += 0.35 * chance.standard_normal(count(0.0008))
    return wave


def plink(seed: int = 0, hertz: Annotated[float, Bounds(100, 4000, "Hz")] = 1_046.5) -> Sound:
    """One coin hops and lands, on a note.

    Parameters
    ----------
    seed
        Another seed, another coin.
    hertz
        The note.
    """
    chance = np.random.default_rng(seed)
    return finished(room(chance, placed(plink_wave(chance, hertz)), 0.14, 0.25))


def plinks(
    seed: int = 0,
    hertz: Annotated[float, Bounds(100, 4000, "Hz")] = 784.0,
    scale: Sequence[float] = MAJOR,
    every: Annotated[float, Bounds(0.04, 2, "s")] = 0.25,
) -> Sound:
    """Coins hop one after another, up a scale, from left to right.

    Parameters
    ----------
    seed
        Another seed, other coins.
    hertz
        The first note.
    scale
        Semitones above it, one a coin.
    every
        Seconds from one to the next.
    """
    chance = np.random.default_rng(seed)
    sound = np.zeros((count(len(scale) * every + 1.0), 2))
    for k, semitones in enumerate(scale):
        note = plink_wave(chance, hertz * 2 ** (semitones / 12)) * (0.8 + 0.2 * k / max(1, len(scale) - 1))
        at = count(k * every)
        sound[at : at + len(note)] += placed(note, -0.5 + k / max(1, len(scale) - 1))
    return finished(room(chance, sound, 0.14, 0.25))


def slide_whistle(
    seed: int = 0,
    seconds: Annotated[float, Bounds(0.1, 10, "s")] = 0.9,
    from_hertz: Annotated[float, Bounds(150, 4000, "Hz")] = 520.0,
    to_hertz: Annotated[float, Bounds(150, 4000, "Hz")] = 1_500.0,
) -> Sound:
    """A slide whistle, up or down.

    Parameters
    ----------
    seed
        Another seed, another breath.
    seconds
        How long it takes.
    from_hertz, to_hertz
        From where to where.
    """
    chance = np.random.default_rng(seed)
    t = clock(seconds)
    u = t / seconds
    ease = u * u * (3 - 2 * u)
    pitch = from_hertz * (to_hertz / from_hertz) ** ease
    pitch = pitch * (1 + 0.012 * np.sin(2 * np.pi * 6.5 * t) * np.clip(2 * u - 0.6, 0, 1))
    turns = phase(pitch)
    wave = np.sin(turns) + 0.09 * np.sin(2 * turns) + 0.16 * np.sin(3 * turns) + 0.03 * np.sin(5 * turns)
    wave *= 1 + 0.08 * wander(chance, len(t), 14)
    breath = band(chance.standard_normal(len(t)), 900, 6_000, 1)
    breath *= 0.05 * (1 + 3 * np.exp(-t / 0.03))
    loud = line(u, [(0, 0), (0.05, 0.8), (0.8, 1), (0.93, 0.8), (1, 0)])
    return finished(room(chance, placed((wave + breath) * loud), 0.16, 0.3))


def boing(
    seed: int = 0,
    seconds: Annotated[float, Bounds(0.2, 10, "s")] = 1.1,
    hertz: Annotated[float, Bounds(40, 500, "Hz")] = 92.0,
) -> Sound:
    """A spring, or a ruler at the edge of a table: a low twang whose vowel swings ever faster.

    Parameters
    ----------
    seed
        Another seed, another spring.
    seconds
        Until it is still.
    hertz
        Its pitch.
    """
    chance = np.random.default_rng(seed)
    t = clock(seconds)
    u = t / seconds
    swing = phase(line(u, [(0, 7), (1, 17)]))
    pitch = hertz * (1 + 0.30 * np.exp(-t / 0.05)) * (1 + 0.05 * np.sin(swing) * (1 - 0.6 * u))
    vowel = 620 + 900 * u + (420 - 180 * u) * np.sin(swing)
    turns = phase(pitch)
    wave = np.zeros(len(t))
    for k in range(1, 60):
        f = k * pitch
        near = np.exp(-((np.log2(f / vowel) / 0.33) ** 2)) + 0.35 * np.exp(
            -((np.log2(f / (vowel * 2.4)) / 0.25) ** 2)
        )
        wave += (near + 0.3 * (k <= 2)) * np.sin(k * turns + 0.3 * k * k) / k**0.35
    wave *= swell(t, 0.004, seconds * 1.15) * np.clip((1 - u) / 0.1, 0, 1)
    return finished(room(chance, placed(wave), 0.16, 0.25))
