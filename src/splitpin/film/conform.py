"""Conform: show the frames of a film at another rate, one to one, and let its sound keep up.

No frame is left out or shown twice: the film runs faster or slower, and everything in it with it. This is how
films at 24 are shown on television at 25 (common practice).
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from splitpin.measure.rate import format_rate, samples_of, seconds_of

MOST = Fraction(1, 20)
"""How much faster or slower a film may run; beyond it movement and voices are plainly wrong. [T]"""


class ConformError(ValueError):
    """Two rates too far apart for the same frames.

    Attributes
    ----------
    where, found, expected, remedy
        What is wrong, for a person.
    """

    def __init__(self, rate: Fraction, shown: Fraction) -> None:
        self.where = "film.toml"
        self.found = f"a film of {_said(rate)} frames a second, to be shown at {_said(shown)}"
        self.expected = f"rates within {float(MOST):.0%} of each other, since every frame is shown once"
        percent = abs(float(shown / rate - 1))
        self.remedy = (
            f"it would run {percent:.1%} {'faster' if shown > rate else 'slower'}: leave `rate` out of the "
            "outlet, or animate the film at a rate nearer to it"
        )
        super().__init__(f"{self.where}: {self.found}; {self.expected}; {self.remedy}")


class Conform(NamedTuple):
    """The film's own rate, and the one at which its frames are shown."""

    rate: Fraction
    shown: Fraction

    @property
    def speed(self) -> Fraction:
        """How many times as fast the film runs."""
        return self.shown / self.rate

    def samples(self, frames: int) -> int:
        """How long the sound of so many frames is, at the shown rate."""
        return samples_of(frames, self.shown)

    def told(self, frames: int) -> str:
        """What is done, in words; empty when nothing is.

        >>> Conform(Fraction(24), Fraction(25)).told(240)
        'runs 4.2 % faster than the film: 10.00 s become 9.60 s, every frame shown once'
        """
        if self.speed == 1:
            return ""
        before, after = (float(seconds_of(frames, rate)) for rate in self)
        how = "faster" if self.speed > 1 else "slower"
        percent = abs(float(self.speed - 1)) * 100
        return (
            f"runs {percent:.1f} % {how} than the film: {before:.2f} s become {after:.2f} s, "
            "every frame shown once"
        )


def conform(rate: Fraction, shown: Fraction) -> Conform:
    """How a film is shown at a rate.

    Raises
    ------
    ConformError
        When it would run more than :data:`MOST` faster or slower.

    Examples
    --------
    >>> conform(Fraction(24), Fraction(25)).speed
    Fraction(25, 24)
    """
    if abs(shown / rate - 1) > MOST:
        raise ConformError(rate, shown)
    return Conform(rate, shown)


def _said(rate: Fraction) -> str:
    return str(rate.numerator) if rate.denominator == 1 else format_rate(rate)
