"""How captions are set: the thresholds, as settings."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor
from typing import Annotated

from pydantic import Field

from splitpin.measure.plain import Plain
from splitpin.measure.rate import exact

Letters = Annotated[int, Field(strict=True, ge=10, le=120)]
Duration = Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=60)]


class CaptionRules(Plain):
    """``[captions]``: how the lines that are spoken are set as captions."""

    letters: Letters = 42
    """The most letters of a line, spaces and marks counted."""
    lines: Annotated[int, Field(strict=True, ge=1, le=3)] = 2
    """The most lines at a time."""
    shortest: Duration = 0.833
    """The least a caption stands, seconds; the default is five sixths."""
    longest: Duration = 7.0
    """The most it stands, seconds."""
    reading: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=1, le=100)] = 17.0
    """How many letters are read in a second; the default is common practice for grown-up readers."""
    gap: Annotated[int, Field(strict=True, ge=0, le=240)] = 2
    """The least between two captions, frames, so that the eye sees the change."""

    def least_frames(self, rate: Fraction) -> int:
        """The least a caption stands, frames."""
        return max(1, ceil(exact(self.shortest) * rate))

    def most_frames(self, rate: Fraction) -> int:
        """The most it stands, frames; never less than the least."""
        return max(self.least_frames(rate), floor(exact(self.longest) * rate))

    def reading_frames(self, letters: int, rate: Fraction) -> int:
        """How long so many letters must stand to be read, frames."""
        return max(self.least_frames(rate), ceil(letters / exact(self.reading) * rate))
