"""Moments of a film that stand for the rest of it: one for each panel, scene or second."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import floor
from typing import Literal, NamedTuple

from splitpin.film.segments import Segment
from splitpin.measure.rate import nearest_frame
from splitpin.sheet.sheet import Sheet

Each = Literal["panel", "scene", "second"]


class Moment(NamedTuple):
    """A part of the film, and the frame that is shown for it."""

    scene: str
    panel: str
    """Empty where the part is a whole scene."""
    start: int
    """The part's first frame in the film."""
    frames: int
    shown: int
    """The frame that is shown: the one in the middle, or a second's first."""


def moments(sheets: Sequence[Sheet], each: Each, rate: Fraction) -> tuple[Moment, ...]:
    """Pick the frames of some scenes that stand for all of them.

    Parameters
    ----------
    sheets
        The scenes, one after the other.
    each
        What one frame stands for.
    rate
        Frames a second.
    """
    found: list[Moment] = []
    first = 0
    for sheet in sheets:
        if each == "scene":
            found.append(Moment(sheet.scene, "", first, sheet.frames, first + sheet.frames // 2))
        for name, start, frames in sheet.panels:
            at = first + start
            if each == "panel":
                found.append(Moment(sheet.scene, name, at, frames, at + frames // 2))
            if each == "second":
                # Seconds of the film, not of the scene: they fall in whichever panel is seen then.
                second = floor(Fraction(at) / rate)
                while (frame := nearest_frame(second, rate)) < at + frames:
                    if frame >= at:
                        end = nearest_frame(second + 1, rate)
                        found.append(Moment(sheet.scene, name, frame, end - frame, frame))
                    second += 1
        first += sheet.frames
    if each == "second":
        # The film ends within its last second.
        found[-1] = found[-1]._replace(frames=min(found[-1].frames, first - found[-1].start))
    return tuple(found)


def still(segments: Sequence[Segment], frame: int) -> Segment:
    """A segment of one frame: what is seen at a frame of the film.

    Where it stands, and for how long, makes no other picture of it, so that it is found again wherever the
    exposure goes.

    Raises
    ------
    ValueError
        When the film has no such frame.
    """
    for segment in segments:
        at = segment.first
        for exposure in segment.exposures if frame < at + segment.frames else ():
            at += exposure.row.frames
            if frame < at:
                one = exposure._replace(row=exposure.row._replace(frames=1))
                return segment._replace(first=frame, exposures=(one,))
    raise ValueError(f"there is no frame {frame}")
