"""Bringing a mix to the loudness of an outlet, under its ceiling."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from splitpin.sound.limiter import RELEASE, limited
from splitpin.sound.loudness import CELL, Meter, gated, measured
from splitpin.sound.source import BLOCK, Sound, amplitude

WITHIN = 0.2
"""LU by which the result may miss its target."""

MOST_LIMITED = 20.0
"""Decibels: no peak is brought down further than this, since what is left would not sound like itself. [T]"""


class Heard(Protocol):
    """A sound that can be heard from start to end, as often as need be."""

    def blocks(self, size: int = BLOCK) -> Iterator[Sound]:
        """Its samples in order, about ``size`` at a time."""


class Levelled(NamedTuple):
    """How a mix comes to its loudness, and what it measures then."""

    gain: float
    """Decibels that the mix is made louder by."""
    ceiling: float
    """The true peak that the limiter keeps it under, dBTP."""
    loudness: float
    """Integrated loudness of the result, LUFS."""
    true_peak: float
    """True peak of the result, dBTP."""
    range: float
    """Loudness range of the result, LU."""
    reached: bool
    """Whether the result lies within ``WITHIN`` of its target."""
    report: str = ""
    """Why not, and what to do, for a person."""

    def blocks(self, mix: Heard, size: int = BLOCK) -> Iterator[Sound]:
        """The mix at its level, from start to end."""
        return limited(mix.blocks(size), self.gain, self.ceiling)


def level(mix: Heard, target: float, ceiling: float, plain: Meter | None = None) -> Levelled:
    """Find the gain at which a mix has its target loudness after limiting.

    The mix is heard once, and twice or three times when it has to be limited: what the limiter takes away is
    first reckoned from the energies and peaks of each 10 ms.

    Parameters
    ----------
    mix
        What is heard.
    target
        Integrated loudness, LUFS.
    ceiling
        The true peak that nothing goes over, dBTP.
    plain
        A meter that has heard the mix already; it is heard here when left out.
    """
    plain = plain or measured(mix.blocks())
    if plain.integrated == -inf:
        return _silent(plain, ceiling)
    peak, room = plain.true_peak, ceiling - plain.true_peak
    gain, loudness = _unlimited(plain, target)
    if gain <= room:
        reached = abs(loudness - target) <= WITHIN
        report = "" if reached else too_peaky(loudness, target)
        return Levelled(gain, ceiling, loudness, peak + gain, plain.range, reached, report)

    model = _Model(plain, ceiling)
    most = room + MOST_LIMITED
    gain = model.gain_for(target, room, most)
    first = best = _heard(mix, gain, ceiling, target)
    if abs(first.loudness - target) > WITHIN / 2 or first.true_peak > ceiling:
        aim = target + model.loudness(gain) - first.loudness
        lower = ceiling - max(0.0, first.true_peak - ceiling) * 1.5
        second = _heard(mix, model.gain_for(aim, room, most), lower, target)
        if first.true_peak > ceiling or abs(second.loudness - target) < abs(first.loudness - target):
            best = second
    return best if best.reached else best._replace(report=too_peaky(best.loudness, target))


def as_mixed(mix: Heard, ceiling: float) -> Levelled:
    """Leave a mix as loud as it is; only its peaks are brought under the ceiling.

    Parameters
    ----------
    mix
        What is heard.
    ceiling
        The true peak that nothing goes over, dBTP.
    """
    plain = measured(mix.blocks())
    if plain.true_peak <= ceiling:
        return Levelled(0.0, ceiling, plain.integrated, plain.true_peak, plain.range, True)
    first = _heard(mix, 0.0, ceiling, plain.integrated)
    if first.true_peak > ceiling:
        lower = ceiling - 1.5 * (first.true_peak - ceiling)
        first = _heard(mix, 0.0, lower, plain.integrated)
    return first._replace(reached=True)


def _unlimited(meter: Meter, target: float) -> tuple[float, float]:
    """The gain without a limiter, and the loudness it gives: the gate at -70 LUFS stands still, so that more
    or less of the quiet passages counts when all becomes louder or softer.
    """
    cells, gain = meter.cells, target - meter.integrated
    for _ in range(8):
        loudness = gated(cells * amplitude(gain) ** 2)
        if loudness == -inf or abs(loudness - target) < 1e-3:
            return gain, loudness
        gain += target - loudness
    return gain, gated(cells * amplitude(gain) ** 2)


def _heard(mix: Heard, gain: float, ceiling: float, target: float) -> Levelled:
    meter = measured(limited(mix.blocks(), gain, ceiling))
    loudness = meter.integrated
    reached = abs(loudness - target) <= WITHIN
    return Levelled(gain, ceiling, loudness, meter.true_peak, meter.range, reached)


def _silent(meter: Meter, ceiling: float) -> Levelled:
    report = (
        "nothing loud enough to measure is heard for 0.4 s, so its level is left as it is; "
        "check that the cues lie within the film and are not turned down"
    )
    gain = min(0.0, ceiling - meter.true_peak)
    return Levelled(gain, ceiling, -inf, meter.true_peak + gain, 0.0, False, report)


def too_peaky(loudness: float, target: float) -> str:
    """Why a mix comes to another loudness than it should, LUFS, and what to do."""
    return (
        f"the film comes to {loudness:.1f} LUFS instead of {target:.1f}: its peaks stand too far out to "
        f"be brought down more than {MOST_LIMITED:.0f} dB; turn down the loudest sounds, or add quieter ones "
        "that last"
    )


class _Model:
    """What the limiter will take away, reckoned in steps of 10 ms."""

    def __init__(self, meter: Meter, ceiling: float) -> None:
        self._energy = meter.cells
        with np.errstate(divide="ignore"):
            self._over = 20.0 * np.log10(meter.peaks) - ceiling
        self._ground = RELEASE * CELL * np.arange(len(self._over))

    def _down(self, gain: float) -> NDArray[np.float64]:
        over = np.maximum(self._over + gain, 0.0)
        return np.asarray(np.maximum.accumulate(over + self._ground) - self._ground, dtype=np.float64)

    def loudness(self, gain: float) -> float:
        """Integrated loudness after so much gain and the limiter, LUFS."""
        return gated(self._energy * np.square(amplitude(gain) * np.power(10.0, self._down(gain) / -20.0)))

    def gain_for(self, target: float, low: float, high: float) -> float:
        """The gain between two others at which a loudness is reached; the nearer end when neither does."""
        for _ in range(24):
            middle = (low + high) / 2
            if self.loudness(middle) < target:
                low = middle
            else:
                high = middle
        return high
