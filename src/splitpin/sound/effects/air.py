"""Things that rush, rustle and pop: noise in motion."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from splitpin.sound.effects.craft import (
    Bounds,
    Wave,
    band,
    clock,
    coloured,
    count,
    finished,
    hill,
    line,
    phase,
    placed,
    room,
    swell,
    wander,
)
from splitpin.sound.source import Sound


def whoosh(
    seed: int = 0,
    seconds: Annotated[float, Bounds(0.1, 10, "s")] = 0.55,
    high: Annotated[float, Bounds(200, 8000, "Hz")] = 2_400.0,
    to_left: bool = True,
) -> Sound:
    """Something small goes past very fast.

    Parameters
    ----------
    seed
        Another seed, another wind.
    seconds
        How long it lasts.
    high
        The middle of the noise where it passes.
    to_left
        Where it goes.
    """
    chance = np.random.default_rng(seed)
    t = clock(seconds)
    middle = seconds * 0.45

    def gains(hertz: Wave, times: Wave) -> Wave:
        rise = np.exp(-(((times - middle) / (seconds * 0.24)) ** 2))
        centre = high * (0.3 + 0.7 * rise) * np.where(times > middle, 0.85, 1.0)
        return hill(hertz, centre, 0.55) + 0.3 * hill(hertz, centre * 2.1, 0.35)

    wave = coloured(chance.standard_normal(len(t)), gains)
    wave *= np.exp(-(np.abs((t - middle) / (seconds * 0.17)) ** 1.7)) * (
        1 + 0.15 * wander(chance, len(t), 30)
    )
    tone = np.sin(phase(line(t, [(0, 520), (middle, 900), (seconds, 330)])))
    wave += 0.35 * np.abs(wave).max() * tone * np.exp(-(((t - middle) / (seconds * 0.15)) ** 2)) * 0.16
    side = -1.0 if to_left else 1.0
    pan = side * 0.8 * np.tanh((t - middle) / (seconds * 0.18))
    return finished(room(chance, placed(wave, pan), 0.1))


def rustle(
    seed: int = 0,
    seconds: Annotated[float, Bounds(0.1, 30, "s")] = 1.0,
    thick: Annotated[float, Bounds(0, 1)] = 0.5,
) -> Sound:
    """Someone gets up out of dry grass.

    Parameters
    ----------
    seed
        Another seed, other stalks.
    seconds
        How long it lasts.
    thick
        0 is thin and dry, 1 thick and damp.
    """
    chance = np.random.default_rng(seed)
    sound = np.zeros((count(seconds + 0.2), 2))
    blades = int(130 * seconds)
    pushes = chance.uniform(0.08, 0.9, 3) * seconds
    for _ in range(blades):
        at = float(np.clip(chance.choice(pushes) + chance.normal(0, 0.13 * seconds), 0, seconds))
        length = chance.uniform(0.012, 0.09)
        t = clock(length)
        middle = chance.uniform(2_600, 9_000) * (1.25 - 0.6 * thick)
        blade = band(chance.standard_normal(len(t)), middle * 0.7, min(middle * 1.5, 20_000), 1)
        blade *= np.sin(np.pi * np.clip(t / length, 0, 1)) ** 1.5 * chance.gamma(1.4, 0.5)
        start = count(at)
        sound[start : start + len(t)] += placed(blade, chance.uniform(-0.6, 0.6))[: len(sound) - start]
    t = clock(seconds + 0.2)
    brush = band(chance.standard_normal(len(t)), 500, 3_200, 1) * np.abs(wander(chance, len(t), 9)) ** 1.5
    brush *= np.sin(np.pi * np.clip(t / seconds, 0, 1)) ** 0.7
    sound += placed(brush * (0.12 + 0.2 * thick))
    return finished(room(chance, sound, 0.08))


def shuffle(
    seed: int = 0,
    sheets: Annotated[int, Bounds(1, 100)] = 4,
    every: Annotated[float, Bounds(0.04, 2, "s")] = 0.16,
) -> Sound:
    """Sheets of paper pushed over one another.

    Parameters
    ----------
    seed
        Another seed, other paper.
    sheets
        How many.
    every
        Seconds from one to the next.
    """
    chance = np.random.default_rng(seed)
    sound = np.zeros((count(sheets * every + 0.3), 2))
    for k in range(sheets):
        length = every * chance.uniform(0.75, 1.2)
        t = clock(length)
        start, stop = sorted(chance.uniform(1_600, 4_600, 2), reverse=bool(k % 2))

        def gains(hertz: Wave, times: Wave, ends: tuple[float, float, float] = (start, stop, length)) -> Wave:
            centre = ends[0] + (ends[1] - ends[0]) * np.clip(times / ends[2], 0, 1)
            return hill(hertz, centre, 0.9) + 0.5 * hill(hertz, 7_500.0, 0.7)

        slide = coloured(chance.standard_normal(len(t)), gains)
        slide *= np.sin(np.pi * t / length) ** 0.8 * (0.65 + 0.35 * np.abs(wander(chance, len(t), 70)))
        crackle = (chance.random(len(t)) < 0.003) * chance.standard_normal(len(t)) * 2.5
        slide += band(crackle, 1_500, 9_000, 1) * np.sin(np.pi * t / length)
        at = count(max(0.0, k * every + chance.normal(0, 0.012)))
        sound[at : at + len(t)] += placed(slide, chance.uniform(-0.35, 0.35)) * chance.uniform(0.7, 1.0)
    return finished(room(chance, sound, 0.06))


def pop(seed: int = 0, hertz: Annotated[float, Bounds(100, 2000, "Hz")] = 420.0) -> Sound:
    """A cork, or a bubble, or an idea.

    Parameters
    ----------
    seed
        Another seed, another bottle.
    hertz
        Where its pitch begins.
    """
    chance = np.random.default_rng(seed)
    t = clock(0.2)
    wave = np.sin(phase(hertz * (1 + 1.6 * np.clip(t / 0.045, 0, 1) ** 1.4))) * swell(t, 0.004, 0.11)
    wave += 0.35 * band(chance.standard_normal(len(t)), 700, 6_000, 1) * swell(t, 0.0005, 0.014)
    return finished(room(chance, placed(wave), 0.12))
