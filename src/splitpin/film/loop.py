"""A film that goes round for ever in a small file: which pictures, how long each, and how large."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from math import exp, floor, log
from typing import NamedTuple

from splitpin.film.segments import Segment


class Pick(NamedTuple):
    """A picture of the loop."""

    segment: int
    """Which of the film's segments it is in."""
    exposure: int
    """Which of that segment's exposures it is."""
    delay: int
    """How long it is seen, in parts of a second."""


class Step(NamedTuple):
    """How much is given up to make a loop smaller."""

    rate: int | None
    """Pictures a second at most; all of them for None."""
    finish: int
    """Colours of a GIF, quality of a WebP."""


class Chosen(NamedTuple):
    """What a search comes to."""

    width: int
    step: int
    data: bytes
    fits: bool
    """Whether it is as small as asked; else it is the smallest that was tried."""


WIDTHS = (1280, 1120, 960, 800, 720, 640, 560, 480, 400, 360, 320, 280, 240, 200, 160, 120)
"""Pixels."""
ENOUGH = 400
"""Pixels: before a loop gets narrower than this, pictures and colours are given up. [T]"""


def picks(
    segments: Sequence[Segment],
    start: int,
    end: int,
    rate: Fraction,
    most: int | None,
    parts: int,
    least: int,
) -> tuple[Pick, ...]:
    """Pick the pictures of a span. Their delays add up to its length, to half a part of a second.

    Parameters
    ----------
    segments
        The film's, in order.
    start, end
        The span's first frame in the film, and the first after it.
    rate
        Frames a second.
    most
        Pictures a second at most; all of them for None.
    parts
        The unit of delays: parts of a second.
    least
        The shortest delay that players keep to; what is seen for less is left out, and the one before it
        stays.
    """
    seen: list[tuple[Fraction, int, int]] = []
    for k, segment in enumerate(segments):
        at = segment.first
        for i, exposure in enumerate(segment.exposures):
            first, at = at, at + exposure.row.frames
            if start < at and first < end:
                seen.append((Fraction(max(first, start) - start) / rate, k, i))
    length = Fraction(end - start) / rate
    if most is not None:
        seen = _thinned(seen, length, most)
    last = floor(length * parts + Fraction(1, 2))
    begun: list[tuple[int, int, int]] = []
    for time, k, i in seen:
        tick = floor(time * parts + Fraction(1, 2))
        if begun and tick - begun[-1][0] < least:
            continue
        if begun and last - tick < least:
            break
        begun.append((tick, k, i))
    ends = [*(tick for tick, _, _ in begun[1:]), max(last, least)]
    return tuple(Pick(k, i, after - tick) for (tick, k, i), after in zip(begun, ends, strict=True))


def _thinned(
    seen: Sequence[tuple[Fraction, int, int]], length: Fraction, most: int
) -> list[tuple[Fraction, int, int]]:
    """What is seen at so many times a second; a picture that stays is one picture."""
    kept: list[tuple[Fraction, int, int]] = []
    j = 0
    for n in range(floor(length * most) + 1):
        time = Fraction(n, most)
        while j + 1 < len(seen) and seen[j + 1][0] <= time:
            j += 1
        if time < length and (not kept or kept[-1][1:] != seen[j][1:]):
            kept.append((time, *seen[j][1:]))
    return kept


def search(widths: Sequence[int], steps: int, most: int, make: Callable[[int, int], bytes]) -> Chosen:
    """Find the best loop under a size: of the fewest things given up, and of those the widest.

    Each step gives up more. The first at which a loop of :data:`ENOUGH` pixels fits is taken, and there the
    widest that fits; when there is none, the widest of the last step. How large a width comes out is
    estimated from those made already, so that few are made: it is taken for granted that neither a wider
    loop nor one that gives up less is smaller.

    Parameters
    ----------
    widths
        From the widest to the narrowest.
    steps
        How many there are.
    most
        Bytes.
    make
        The loop of a width at a step.
    """
    if not widths or steps < 1:
        raise ValueError("no widths or no steps to try; expected one of each at least")
    gate = max(i for i, width in enumerate(widths) if width >= min(ENOUGH, widths[0]))
    for step in range(steps):
        tries = _Tries(widths, step, most, make)
        # Whatever fits at its widest needs no search; later steps are only come to by what does not.
        low = 1 if step == 0 and not tries.fits(0) else 0
        if tries.fits(gate):
            return tries.widest(low, gate)
    return tries.widest(gate + 1, len(widths))


USUAL = 1.7
"""The power of its width with which a loop grows, until two of them were made. [T]"""


class _Tries:
    """Loops of one step, each made once."""

    def __init__(
        self, widths: Sequence[int], step: int, most: int, make: Callable[[int, int], bytes]
    ) -> None:
        self._widths, self._step, self._most, self._make = widths, step, most, make
        self._made: dict[int, bytes] = {}

    def fits(self, i: int) -> bool:
        """Whether the loop of a width is small enough."""
        if i not in self._made:
            self._made[i] = self._make(self._widths[i], self._step)
        return len(self._made[i]) <= self._most

    def widest(self, low: int, high: int) -> Chosen:
        """The widest that fits: all before ``low`` are too large, ``high`` fits or is past the end."""
        tries = 0
        while low < high:
            # An estimate is nearly always off by one at most; where it is not, halving comes to an end.
            guess = self._estimate(low, high) if tries < 3 else (low + high) // 2
            tries += 1
            if self.fits(guess):
                high = guess
            else:
                low = guess + 1
        found = min(high, len(self._widths) - 1)
        fits = self.fits(found)
        return Chosen(self._widths[found], self._step, self._made[found], fits)

    def _estimate(self, low: int, high: int) -> int:
        """The widest that should fit, of those still in question."""
        known = sorted(self._made, key=lambda i: abs(log(max(1, len(self._made[i])) / self._most)))[:2]
        if not known:
            return (low + high) // 2
        points = [(log(self._widths[i]), log(max(1, len(self._made[i])))) for i in known]
        power = USUAL
        if len(points) == 2 and (points[0][1] - points[1][1]) * (points[0][0] - points[1][0]) > 0:
            power = (points[0][1] - points[1][1]) / (points[0][0] - points[1][0])
        width = exp(points[0][0] + (log(self._most) - points[0][1]) / power)
        return next((i for i in range(low, high) if self._widths[i] <= width), high - 1)
