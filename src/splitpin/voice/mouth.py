"""Mouths, and the reading that is made of them."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal, NamedTuple

Shape = Literal["shut", "small", "open", "round"]
"""The four mouths that a figure needs: lips together; teeth nearly together; jaw down; lips forward."""

SHAPES: tuple[Shape, ...] = ("shut", "small", "open", "round")
"""Every :data:`Shape`, from the least open on."""


class Mouth(NamedTuple):
    """One mouth, held over one or more exposures."""

    frame: int
    """The frame that shows it first."""
    frames: int
    """For how many frames it is held; always whole exposures."""
    shape: Shape
    """Which of the four mouths it is."""
    opening: float
    """How far the jaw is pulled down, from 0 (shut) to 1."""


class Reading(NamedTuple):
    """The mouths of a recording, one after the other, without gaps."""

    rate: Fraction
    """Frames a second."""
    on: int
    """How many frames an exposure is held."""
    mouths: tuple[Mouth, ...]
    """The mouths; neighbours differ."""
    gestures: tuple[int, ...] = ()
    """Frames on which a gesture starts, so that it leads the word it goes with."""

    @property
    def start(self) -> int:
        """The first frame that has a mouth."""
        return self.mouths[0].frame if self.mouths else 0

    @property
    def frames(self) -> int:
        """How many frames have a mouth."""
        return sum(mouth.frames for mouth in self.mouths)

    def exposures(self) -> tuple[Mouth, ...]:
        """The same mouths, one for each exposure."""
        return tuple(
            mouth._replace(frame=frame, frames=self.on)
            for mouth in self.mouths
            for frame in range(mouth.frame, mouth.frame + mouth.frames, self.on)
        )


def joined(exposures: tuple[Mouth, ...]) -> tuple[Mouth, ...]:
    """Mouths that follow each other, equal neighbours made one."""
    out: list[Mouth] = []
    for mouth in exposures:
        last = out[-1] if out else None
        if last is not None and (last.shape, last.opening) == (mouth.shape, mouth.opening):
            out[-1] = last._replace(frames=last.frames + mouth.frames)
        else:
            out.append(mouth)
    return tuple(out)
