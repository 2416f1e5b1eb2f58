"""The film's rate, exactly, and the way between frames, seconds and samples."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

NAMED = ("12", "24000/1001", "24", "25", "30000/1001", "30")
"""The rates a film may have, in frames a second."""


def parse_rate(text: str) -> Fraction:
    """Read a rate written as ``24`` or ``24000/1001``.

    Raises
    ------
    ValueError
        When the text is not one of :data:`NAMED`; rounded rates such as ``23.976`` are refused, since they
        drift.
    """
    if text not in NAMED:
        raise ValueError(f"{text!r} is not a rate; expected one of {', '.join(NAMED)}")
    return Fraction(text)


def format_rate(rate: Fraction) -> str:
    """``24/1`` or ``24000/1001``: numerator and denominator, always both."""
    return f"{rate.numerator}/{rate.denominator}"


def exact(seconds: float | Fraction) -> Fraction:
    """The decimal number of seconds that a person wrote, rather than the binary one next to it.

    >>> exact(0.1)
    Fraction(1, 10)
    """
    return Fraction(seconds).limit_denominator(1_000_000)


def as_seconds(time: Fraction) -> float:
    """A time as a person would write it, unless only all of its digits are read back as the same time.

    >>> as_seconds(Fraction(5, 2)), as_seconds(Fraction(1, 3))
    (2.5, 0.3333333333333333)
    """
    short = round(float(time), 6)
    return short if exact(short) == time else float(time)


def nearest_frame(seconds: float | Fraction, rate: Fraction) -> int:
    """The frame whose start is nearest to a time; halves go up, so that equal spans stay equal.

    >>> nearest_frame(4, Fraction(24))
    96
    """
    return floor(exact(seconds) * rate + Fraction(1, 2))


def seconds_of(frame: int, rate: Fraction) -> Fraction:
    """The exact time at which a frame starts."""
    return frame / rate


def samples_of(frame: int | Fraction, rate: Fraction, sampling: int = 48_000) -> int:
    """The sound sample nearest to the start of a frame (or to a point between frames)."""
    return floor(frame * sampling / rate + Fraction(1, 2))


def exposures_in(frames: int, on: int) -> int:
    """How many exposures of ``on`` frames cover a span; the last one may be shorter."""
    return ceil(Fraction(frames, on))
