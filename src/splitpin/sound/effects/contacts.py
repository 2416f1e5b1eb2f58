"""Things that meet: they knock, scrape, roll, clink and slap."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from splitpin.sound.effects.craft import (
    Bounds,
    Mode,
    Wave,
    band,
    body,
    clock,
    coloured,
    count,
    finished,
    hill,
    hits_at,
    line,
    phase,
    placed,
    ringing,
    room,
    struck,
    swell,
    unit,
    wander,
)
from splitpin.sound.source import Sound

CERAMIC = (1.0, 1.34, 1.87, 2.49, 3.18, 4.05)
"""How a glazed cup rings, by ear."""
COIN = (1.0, 1.73, 2.33, 3.91, 4.11, 6.30)
"""A free round plate: the ratios of its modes (Rossing and Fletcher, from memory)."""
WOOD = (1.0, 2.57, 4.3, 6.1)
"""A small block of wood, by ear."""


def scrape(
    seed: int = 0,
    seconds: Annotated[float, Bounds(0.5, 30, "s")] = 2.0,
    bricks: Annotated[float, Bounds(0.2, 20, "a second")] = 3.4,
) -> Sound:
    """A ceramic cup pushed along a brick wall: grit, a hollow body, a knock at each joint of the bricks.

    Parameters
    ----------
    seed
        Another seed, another wall.
    seconds
        How long it slides.
    bricks
        Joints passed in a second at full speed.
    """
    chance = np.random.default_rng(seed)
    t = clock(seconds)
    speed = np.clip(line(t, [(0, 0), (0.12, 1), (seconds - 0.3, 0.9), (seconds, 0)]), 0, 1)
    speed *= 1 + 0.16 * wander(chance, len(t), 5)
    speed = np.maximum(speed, 0)
    way = np.cumsum(speed) / 48_000 * bricks
    joint = np.exp(-(((way + 0.5) % 1.0 - 0.5) ** 2) / 0.0035)
    # Stick and slip: grains come the faster the faster the cup goes, and the coarser the rarer.
    grains = (chance.random(len(t)) < speed * 620 / 48_000) * chance.pareto(2.6, len(t)).clip(0, 6)
    grains *= chance.choice([-1.0, 1.0], len(t)) * (1 - 0.7 * joint)
    cup = ringing(body(chance, 1_480, CERAMIC, 0.055), 0.09)
    hollow = ringing([Mode(410, 0.06, 1.0), Mode(655, 0.045, 0.7)], 0.09)
    ring = struck(grains, cup + 0.8 * hollow)[: len(t)]
    grit = band(chance.standard_normal(len(t)), 900, 7_500, 1)
    grit *= speed**1.4 * (0.5 + 0.5 * np.abs(wander(chance, len(t), 38))) * (1 - 0.8 * joint)
    growl = (
        band(chance.standard_normal(len(t)), 140, 420) * speed * (0.4 + 0.6 * wander(chance, len(t), 16) ** 2)
    )
    knocks = np.flatnonzero(np.diff(np.floor(way + 0.5)) > 0) / 48_000
    gains = 1.0 + 0.35 * chance.standard_normal(len(knocks))
    knock = ringing(
        [Mode(205, 0.08, 1.0), Mode(520, 0.05, 0.5), *body(chance, 1_480, CERAMIC[:4], 0.08)], 0.12
    )
    bumps = struck(hits_at(knocks, gains, seconds), knock)[: len(t)]
    wave = 0.55 * ring / _size(ring) + 0.5 * grit / _size(grit) + 0.2 * growl / _size(growl)
    wave += 0.5 * bumps / max(_size(bumps), 1e-9)
    pan = line(t, [(0, -0.35), (seconds, 0.35)])
    return finished(room(chance, placed(wave, pan), 0.16))


def tick(seed: int = 0, hertz: Annotated[float, Bounds(300, 8000, "Hz")] = 2_300.0) -> Sound:
    """A tiny dry tick, as of an eyelid of card or a spoon on a rim.

    Parameters
    ----------
    seed
        Another seed, another card.
    hertz
        The lowest mode of what ticks.
    """
    chance = np.random.default_rng(seed)
    wave = ringing(body(chance, hertz, WOOD, 0.035), 0.08) + 0.5 * ringing(
        [Mode(hertz * 0.38, 0.03, 1.0)], 0.08
    )
    wave[: count(0.0015)] += 0.5 * chance.standard_normal(count(0.0015))
    return finished(room(chance, placed(wave), 0.10, 0.09))


def tap(seed: int = 0, hertz: Annotated[float, Bounds(300, 4000, "Hz")] = 1_850.0) -> Sound:
    """A spoon on the rim of a cup: a tick that rings a little.

    Parameters
    ----------
    seed
        Another seed, another spoon.
    hertz
        The lowest mode of the cup.
    """
    chance = np.random.default_rng(seed)
    wave = ringing(body(chance, hertz, CERAMIC, 0.22), 0.35)
    wave[: count(0.001)] += 0.8 * chance.standard_normal(count(0.001))
    return finished(room(chance, placed(wave), 0.12))


def thud(seed: int = 0, hertz: Annotated[float, Bounds(30, 400, "Hz")] = 88.0) -> Sound:
    """Something soft and heavy lands.

    Parameters
    ----------
    seed
        Another seed, another fall.
    hertz
        Its pitch, once it has dropped.
    """
    chance = np.random.default_rng(seed)
    t = clock(0.5)
    drop = np.sin(phase(hertz * (1 + 1.3 * np.exp(-t / 0.022)))) * swell(t, 0.003, 0.42)
    dust = band(chance.standard_normal(len(t)), 90, 900, 1) * swell(t, 0.001, 0.13)
    knock = band(chance.standard_normal(len(t)), 900, 3_500, 1) * swell(t, 0.0005, 0.03)
    return finished(room(chance, placed(drop + 0.7 * unit(dust) + 0.3 * unit(knock)), 0.12))


def clink(
    seed: int = 0,
    hertz: Annotated[float, Bounds(800, 8000, "Hz")] = 2_900.0,
    bounces: Annotated[int, Bounds(1, 12)] = 4,
) -> Sound:
    """A coin drops on a saucer and comes to rest: each bounce sooner and softer than the one before.

    Parameters
    ----------
    seed
        Another seed, another coin.
    hertz
        The lowest mode of the coin.
    bounces
        How often it is heard.
    """
    chance = np.random.default_rng(seed)
    gaps = 0.15 * 0.62 ** np.arange(bounces)
    times = np.concatenate([[0.0], np.cumsum(gaps)[:-1]]) if bounces else np.zeros(0)
    gains = 0.55 ** np.arange(bounces) * (1 + 0.12 * chance.standard_normal(bounces))
    saucer = body(chance, 1_640, CERAMIC, 0.34)
    wave = np.zeros(count(1.6))
    for at, gain in zip(times, gains, strict=True):
        coin = body(chance, hertz, COIN, 0.75, 0.004)
        hit = 0.9 * ringing(coin, 0.9) + 0.55 * ringing(saucer, 0.9)
        hit[: count(0.0008)] += 1.2 * chance.standard_normal(count(0.0008))
        wave[count(at) : count(at) + len(hit)] += gain * hit
    return finished(room(chance, placed(wave, 0.1), 0.14, 0.25))


def coin_roll(
    seed: int = 0, seconds: Annotated[float, Bounds(0.3, 30, "s")] = 1.6, falls: bool = False
) -> Sound:
    """A coin on its edge rolls over stone, a turn at a time; in the end it may fall over and whirr to rest.

    Parameters
    ----------
    seed
        Another seed, another coin.
    seconds
        How long it rolls.
    falls
        Whether it falls over at the end; this adds 0.9 s.
    """
    chance = np.random.default_rng(seed)
    t = clock(seconds)
    turning = phase(line(t, [(0, 4.2), (seconds, 6.0)]))
    speed = line(t, [(0, 0.5), (0.15, 1), (seconds - 0.2, 0.85), (seconds, 0.5)])
    # Milled edge: a grain for every few ridges, louder where the coin is a little out of true.
    true = 0.55 + 0.45 * np.cos(turning) ** 3
    ridges = (chance.random(len(t)) < speed * 1_300 / 48_000) * chance.gamma(1.2, 1.0, len(t))
    coin = ringing(body(chance, 3_300, COIN, 0.12, 0.004), 0.2)
    stone = ringing([Mode(780, 0.02, 1.0), Mode(1_350, 0.015, 0.8)], 0.05)
    grains = ridges * true * chance.choice([-1.0, 1.0], len(t))
    wave = struck(grains, coin)[: len(t)] / _size(coin) + 1.6 * struck(grains, stone)[: len(t)] / _size(stone)
    rumble = band(chance.standard_normal(len(t)), 180, 700) * true * speed
    wave = (wave / _size(wave) + 0.35 * rumble / _size(rumble)) * swell(t, 0.04, 1e9)
    pan = line(t, [(0, -0.5), (seconds, 0.3)])
    sound = placed(wave * 0.12, pan)
    if falls:
        sound = np.concatenate([sound, placed(_whirr(chance) * 0.5, 0.3)])
    return finished(room(chance, sound, 0.12))


def _whirr(chance: np.random.Generator) -> Wave:
    """Euler's disc: the hits come ever faster until there is nothing between them."""
    seconds = 0.9
    left = seconds - clock(seconds)
    beats = np.cumsum(9.0 / np.maximum(left, 0.02) ** 0.42) / 48_000
    times = np.flatnonzero(np.diff(np.floor(beats)) > 0) / 48_000
    gains = np.maximum(1 - times / seconds, 0) ** 0.5 * (1 + 0.1 * chance.standard_normal(len(times)))
    coin = ringing(body(chance, 2_900, COIN, 0.16, 0.004), 0.2)
    return struck(hits_at(times, gains, seconds), coin)[: count(seconds)]


def slap(seed: int = 0) -> Sound:
    """A paw comes down flat on a coin.

    Parameters
    ----------
    seed
        Another seed, another paw.
    """
    chance = np.random.default_rng(seed)
    t = clock(0.6)
    palm = band(chance.standard_normal(len(t)), 500, 5_200, 1) * swell(t, 0.0006, 0.12)
    pad = np.sin(phase(118 * (1 + 0.9 * np.exp(-t / 0.012)))) * swell(t, 0.0015, 0.19)
    coin = ringing(body(chance, 3_100, COIN, 0.16, 0.004), 0.6)
    wave = unit(palm) + 0.5 * pad + 0.12 * unit(coin)
    return finished(room(chance, placed(wave), 0.2, 0.22))


def clap_hands(chance: np.random.Generator) -> Wave:
    """One clap of one pair of hands."""
    t = clock(0.09)
    middle = chance.uniform(800, 1_900)
    noise = chance.standard_normal(len(t))
    clap = coloured(noise, lambda hertz, _: hill(hertz, middle, 0.55) + 0.25 * hill(hertz, middle * 2.6, 0.8))
    return clap * swell(t, 0.0008, chance.uniform(0.035, 0.07))


def applause(
    seed: int = 0,
    seconds: Annotated[float, Bounds(0.5, 30, "s")] = 3.0,
    people: Annotated[int, Bounds(1, 200)] = 14,
) -> Sound:
    """A small, well-disposed audience.

    Parameters
    ----------
    seed
        Another seed, another evening.
    seconds
        How long they clap.
    people
        How many they are.
    """
    chance = np.random.default_rng(seed)
    sound = np.zeros((count(seconds + 0.2), 2))
    for _ in range(people):
        hands, pan, near = clap_hands(chance), chance.uniform(-0.9, 0.9), chance.uniform(0.3, 1.0)
        start, stop = chance.uniform(0, 0.5), seconds - chance.uniform(0.0, min(1.2, seconds / 2))
        every = chance.uniform(0.16, 0.27)
        times = np.arange(start, stop, every)
        times = times + chance.normal(0, every * 0.09, len(times))
        tired = np.clip((seconds - times) / (seconds * 0.5), 0.25, 1)
        gains = near * tired * chance.uniform(0.55, 1.0, len(times))
        claps = struck(hits_at(times, gains, seconds + 0.1), hands)
        claps = claps[: len(sound)]
        sound[: len(claps)] += placed(claps, pan)
    return finished(room(chance, sound, 0.35, 0.5))


def _size(wave: Wave) -> float:
    """The root of the mean square."""
    return float(np.sqrt(np.mean(np.square(wave)))) if len(wave) else 0.0
