"""Footage: how long a strip of film so many frames make.

The frame counts of a foot are those of the gauges: 35 mm film with four perforations a frame, and 16 mm film.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

Gauge = Literal["35", "16"]

FRAMES_IN_A_FOOT: dict[Gauge, int] = {"35": 16, "16": 40}


class Footage(NamedTuple):
    """Whole feet, and the frames over."""

    feet: int
    frames: int

    def __str__(self) -> str:
        """As it is written: ``6 ft 4 fr``."""
        return f"{self.feet} ft {self.frames} fr"


def footage_of(frames: int, gauge: Gauge = "35") -> Footage:
    """The footage of so many frames.

    Raises
    ------
    ValueError
        When there are fewer than no frames.

    Examples
    --------
    >>> str(footage_of(100))
    '6 ft 4 fr'
    """
    if frames < 0:
        raise ValueError(f"{frames} frames have no footage; expected 0 or more")
    return Footage(*divmod(frames, FRAMES_IN_A_FOOT[gauge]))


def frames_in(footage: Footage, gauge: Gauge = "35") -> int:
    """How many frames a footage has.

    Raises
    ------
    ValueError
        When the frames over make a foot or more, or anything is below 0.
    """
    whole = FRAMES_IN_A_FOOT[gauge]
    if footage.feet < 0 or not 0 <= footage.frames < whole:
        raise ValueError(f"{footage} is not a footage; expected 0 to {whole - 1} frames over")
    return footage.feet * whole + footage.frames
