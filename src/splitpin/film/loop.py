"""A film that goes round for ever in a small file: which pictures, how long each, and how large."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from math import floor
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
    """Find the best loop under a size: the widest, and of the fewest things given up.

    Each step gives up more. Within a step the widths are halved until the widest that fits is found; when it
    is narrower than :data:`ENOUGH` the next step is tried, and the widest of all is taken in the end.

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
    best: Chosen | None = None
    smallest: Chosen | None = None
    for step in range(steps):
        low, high = 0, len(widths)
        # Everything before `low` is too large; `high` fits, or is past the end.
        while low < high:
            middle = (low + high) // 2 if low else 0
            tried = Chosen(widths[middle], step, make(widths[middle], step), True)
            if len(tried.data) <= most:
                high = middle
                if best is None or tried.width > best.width:
                    best = tried
            else:
                low = middle + 1
                if smallest is None or len(tried.data) < len(smallest.data):
                    smallest = tried._replace(fits=False)
        if best is not None and best.width >= min(ENOUGH, widths[0]):
            break
    if best is None and smallest is None:
        raise ValueError("no widths or no steps to try; expected one of each at least")
    return best or smallest  # type: ignore[return-value]
