"""In which scenes of a film anything is heard."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import accumulate, pairwise

from splitpin.film.soundtrack import Length, timed, voicing_of
from splitpin.measure.rate import samples_of
from splitpin.scene.scene import Cue
from splitpin.sheet.sheet import Sheet


def heard_in(
    sheets: Sequence[Sheet], cues: Sequence[Cue], rate: Fraction, lengths: Mapping[str, Length]
) -> tuple[bool, ...]:
    """Whether a sound lies in each scene, its own, one of the film, or the end of a neighbour's.

    Parameters
    ----------
    sheets
        The scenes in the order of the film.
    cues
        The film's own cues.
    rate
        Frames a second.
    lengths
        The sounds that are there, by the names that the cues use; a silent one is heard nowhere.
    """
    voicings = [
        voicing_of(cue, rate, length.frames)
        for cue in timed(sheets, cues, rate)
        if (length := lengths.get(cue.cue.sound)) is not None and not length.silent
    ]
    ends = accumulate((sheet.frames for sheet in sheets), initial=0)
    return tuple(
        any(v.length > 0 and v.at < end and v.end > start for v in voicings)
        for start, end in pairwise(samples_of(frame, rate) for frame in ends)
    )
