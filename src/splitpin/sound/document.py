"""What is known of a found sound."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import count, pairwise, takewhile
from typing import Annotated, Self

from pydantic import Field, model_validator

from splitpin.measure.provenance import Provenance
from splitpin.measure.rate import exact

Second = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=36_000)]


class SoundDocument(Provenance):
    """``sounds/NAME.toml``: where the sound beside it comes from.

    It is called as the sound is: ``clink.toml`` for ``clink.wav``, or ``clink.wav.toml``, which tells two
    sounds of one name and several endings apart.
    """

    tempo: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=20, le=400)] | None = None
    """Of music that keeps its time: beats a minute. ``splitpin beats`` finds it."""
    first_beat: Second = 0.0
    """Where the first of these beats falls, seconds after the start of the file."""
    beats: list[Second] = []
    """Of music that does not: every beat, seconds after the start of the file."""

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if self.beats and self.tempo is not None:
            raise ValueError("expected either beats or a tempo, not both")
        if any(b <= a for a, b in pairwise(self.beats)):
            raise ValueError("expected beats in their order, each once")
        return self

    def beats_before(self, end: Fraction) -> Iterator[Fraction]:
        """The beats in so many seconds of the sound, exactly."""
        return takewhile(lambda beat: beat < end, self._every())

    def _every(self) -> Iterator[Fraction]:
        if self.tempo is None:
            yield from map(exact, self.beats)
        else:
            first, gap = exact(self.first_beat), 60 / exact(self.tempo)
            yield from (first + k * gap for k in count())
