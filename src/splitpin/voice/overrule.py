"""Mouths that a person has set by hand, which every new reading keeps."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Annotated

from pydantic import Field

from splitpin.measure.plain import Plain
from splitpin.measure.rate import exact
from splitpin.voice.mouth import Reading, Shape, joined
from splitpin.voice.settings import Share

USUAL: dict[Shape, float] = {"shut": 0.0, "small": 0.3, "open": 0.8, "round": 0.5}
"""How far each mouth is open where nobody says."""


class Overrule(Plain):
    """A mouth set by hand. It holds by its time in the recording, so that it survives every new reading."""

    at: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=36_000)]
    """Where it begins, seconds after the start of the file."""
    seconds: Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=36_000)]
    """How long it holds."""
    shape: Shape
    """Which mouth shows."""
    opening: Share | None = None
    """How far it is open, from 0 to 1; as usual for its shape when left out."""

    @property
    def opened(self) -> float:
        """How far it is open."""
        return USUAL[self.shape] if self.opening is None else self.opening

    def holds(self, start: Fraction, seconds: Fraction) -> bool:
        """Whether it holds for an exposure.

        It does where it lies over the middle of the exposure; one that is shorter than that, where its own
        middle lies in it.

        Parameters
        ----------
        start, seconds
            When the exposure begins in the recording, and how long it is.
        """
        at, long = exact(self.at), exact(self.seconds)
        if long < seconds:
            return start <= at + long / 2 < start + seconds
        return at <= start + seconds / 2 < at + long


def overruled(reading: Reading, overrules: Sequence[Overrule], start: Fraction = Fraction(0)) -> Reading:
    """The same reading with the mouths in it that were set by hand; where several hold, the last.

    Parameters
    ----------
    reading
        What the recording itself gave.
    overrules
        The mouths set by hand.
    start
        The frame at which the recording starts in the reading.
    """
    if not overrules:
        return reading
    long = reading.on / reading.rate
    exposures = []
    for mouth in reading.exposures():
        at = (mouth.frame - start) / reading.rate
        hand = next((o for o in reversed(overrules) if o.holds(at, long)), None)
        exposures.append(mouth if hand is None else mouth._replace(shape=hand.shape, opening=hand.opened))
    return reading._replace(mouths=joined(tuple(exposures)))
