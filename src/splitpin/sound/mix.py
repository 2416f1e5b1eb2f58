"""The mix: sources, each in its place, added up block by block.

It is never whole in memory, and each sample is worked out by the same steps whichever block it falls in, so
the size of the blocks never shows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import copy
from math import cos, pi, sin, sqrt
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.sound.source import BLOCK, SAMPLING, Sound, Source, amplitude

Kind = Literal["voice", "effect", "music"]

DIP = SAMPLING // 100
"""Samples from one gain of a dip to the next: 10 ms."""


class Voicing(NamedTuple):
    """One hearing of one source."""

    source: str
    """The name of the source."""
    at: int
    """The sample of the mix at which it starts; below 0 its beginning is not heard."""
    length: int
    """How many samples it is heard for; past the end of a source that does not loop there is silence."""
    skip: int = 0
    """Samples of the source left out at its start."""
    gain: float = 0.0
    """Decibels."""
    pan: float = 0.0
    """-1 is left, 1 is right."""
    fade_in: int = 0
    """Samples to reach its level."""
    fade_out: int = 0
    """Samples to die away at its end."""
    loop: bool = False
    """Whether it goes round: after its last sample the one at ``skip`` follows."""
    kind: Kind = "effect"
    """What it is."""
    ducks: bool = True
    """Whether it makes room for a voice; of a voice, whether the others make room for it."""

    @property
    def end(self) -> int:
        """The first sample of the mix in which it is heard no more."""
        return self.at + self.length


def pan_gains(pan: float) -> tuple[float, float]:
    """The gains of left and right.

    The balance by constant power: the squares of the gains always add up to 2, so the middle changes nothing
    and a sound that is alike on both sides keeps its loudness wherever it goes (+3 dB on the one side,
    nothing on the other, at the ends). The sine and cosine law of common practice, scaled to 1 in the middle.

    >>> pan_gains(0.0)
    (1.0, 1.0)
    """
    if pan == 0.0:
        return 1.0, 1.0
    if abs(pan) == 1.0:
        return (sqrt(2.0), 0.0) if pan < 0 else (0.0, sqrt(2.0))
    theta = (pan + 1.0) * pi / 4.0
    return sqrt(2.0) * cos(theta), sqrt(2.0) * sin(theta)


def fade_gains(first: int, count: int, length: int) -> NDArray[np.float64]:
    """The gains of the samples ``first`` to ``first + count`` of a fade in over ``length`` samples.

    ``t * sqrt(3 - 2t)``: the root of the smooth step, so a fade out under a fade in keeps its power, and the
    fade starts and ends without a corner that clicks.
    """
    t = np.clip((np.arange(first, first + count) + 0.5) / length, 0.0, 1.0)
    return np.asarray(t * np.sqrt(3.0 - 2.0 * t), dtype=np.float64)


class Mix:
    """Voicings of sources over so many samples.

    Parameters
    ----------
    voicings
        What is heard, and when.
    sources
        The sources by name.
    length
        How long the mix is, in samples.
    dip
        Gains, one every 10 ms from the start of the mix to its end, by which all but voices are turned down;
        nothing is when left out.

    Raises
    ------
    KeyError
        When a voicing names no source.
    ValueError
        When a loop has nothing to go round in.
    """

    def __init__(
        self,
        voicings: tuple[Voicing, ...],
        sources: Mapping[str, Source],
        length: int,
        dip: NDArray[np.float64] | None = None,
    ) -> None:
        for voicing in voicings:
            if voicing.loop and sources[voicing.source].frames <= max(voicing.skip, 0):
                raise ValueError(f"{voicing.source} has nothing left to loop after {voicing.skip} samples")
        self._voicings = [(v, sources[v.source], _channel_gains(v)) for v in voicings]
        self.length = length
        self._dip = dip

    def stem(self, kind: Kind) -> Mix:
        """What is heard of one kind of sound: stems of all kinds add up to the mix."""
        stem = copy(self)
        stem._voicings = [one for one in self._voicings if one[0].kind == kind]
        return stem

    def read(self, start: int, count: int) -> Sound:
        """``count`` samples from ``start`` on; silence outside the mix."""
        out = np.zeros((count, 2), dtype=np.float32)
        low, high = max(start, 0), min(start + count, self.length)
        for voicing, source, gains in self._voicings:
            first, last = max(low, voicing.at), min(high, voicing.end)
            if first < last:
                part = out[first - start : last - start]
                if self._dip is None or not voicing.ducks or voicing.kind == "voice":
                    _add(part, voicing, source, gains, first - voicing.at)
                else:
                    alone = np.zeros_like(part)
                    _add(alone, voicing, source, gains, first - voicing.at)
                    part += alone * _dipped(self._dip, first, last)
        return out

    def blocks(self, size: int = BLOCK) -> Iterator[Sound]:
        """The mix from its start to its end, ``size`` samples at a time; the last block may be shorter."""
        for start in range(0, self.length, size):
            yield self.read(start, min(size, self.length - start))


def _dipped(dip: NDArray[np.float64], first: int, last: int) -> NDArray[np.float32]:
    gains = np.interp(np.arange(first, last) / DIP, np.arange(len(dip)), dip)
    return np.asarray(gains.astype(np.float32)[:, None])


def _channel_gains(voicing: Voicing) -> NDArray[np.float32]:
    left, right = pan_gains(voicing.pan)
    gain = amplitude(voicing.gain)
    return np.array([left * gain, right * gain], dtype=np.float32)


def _add(out: Sound, voicing: Voicing, source: Source, gains: NDArray[np.float32], first: int) -> None:
    """Add the samples of a voicing from its ``first`` on."""
    done = 0
    while done < len(out):
        place = voicing.skip + first + done
        if voicing.loop:
            place = voicing.skip + (first + done) % (source.frames - voicing.skip)
        count = min(len(out) - done, source.frames - place)
        if count <= 0:
            return
        piece = source.read(place, count) * gains
        _fade(piece, voicing, first + done)
        out[done : done + count] += piece
        done += count


def _fade(piece: Sound, voicing: Voicing, first: int) -> None:
    count, length = len(piece), voicing.length
    rise, fall = min(voicing.fade_in, length), min(voicing.fade_out, length)
    if first < rise:
        piece *= fade_gains(first, count, rise).astype(np.float32)[:, None]
    if first + count > length - fall:
        backwards = fade_gains(length - first - count, count, fall)[::-1]
        piece *= backwards.astype(np.float32)[:, None]
