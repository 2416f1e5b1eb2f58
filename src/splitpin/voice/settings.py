"""The trade's rules for reading a track, as numbers that a person may change."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from splitpin.measure.plain import Plain

Share = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=1)]
"""A number from 0 to 1."""

Frames = Annotated[int, Field(strict=True, ge=0, le=48)]
"""A few frames."""


class ReadingSettings(Plain):
    """How a voice becomes mouths."""

    shut_frames: Annotated[int, Field(strict=True, ge=1, le=48)] = 2
    """The lips stay shut for at least so many frames on m, b, p and in pauses."""
    lead_frames: Annotated[int, Field(strict=True, ge=-12, le=12)] = 0
    """So many frames ahead of its sound a mouth is shown; 0 is on the sound."""
    gesture_lead_frames: Frames = 4
    """So many frames ahead of the stressed word a gesture starts."""
    gesture_gap_frames: Frames = 16
    """Gestures start at least so many frames apart."""
    stress: Share = 0.65
    """How much a syllable must stand out for a gesture; 0.5 is an ordinary one."""
    closure: Share = 0.3
    """How sure it must be that the lips are shut within speech. Lower shuts them oftener."""
    speech: Share = 0.5
    """How sure it must be that somebody speaks; below that the mouth is shut."""
    round: Share = 0.5
    """How far forward the lips must be for the round mouth."""
    open: Share = 0.45
    """From this opening on, the mouth is the open one; below it, the small one."""
    steps: Annotated[int, Field(strict=True, ge=1, le=100)] = 10
    """How many openings there are, from shut to wide."""
