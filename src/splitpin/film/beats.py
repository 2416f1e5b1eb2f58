"""Scenes that keep time with music: the end of each panel moves to a beat."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import pairwise
from math import floor
from statistics import median
from typing import NamedTuple

from splitpin.measure.rate import exact
from splitpin.scene.scene import Cue, Scene
from splitpin.sound.document import SoundDocument

FARTHER = 60
"""Seconds past the written end of a scene in which beats are still looked for."""


class Music(NamedTuple):
    """A sound with beats."""

    document: SoundDocument
    length: Fraction | None
    """Seconds; None where it is not known, and then the sound is taken to go on, and never round."""


class Moved(NamedTuple):
    """A panel whose end was moved."""

    panel: int
    """Its place on the board."""
    frames: int
    """How many frames later it ends than it is written; below 0 earlier."""
    beats: Fraction
    """The same in beats, never below 0."""


class Snapped(NamedTuple):
    """A scene in time with music."""

    scene: Scene
    """The scene, its panels as long as they have become."""
    moved: tuple[Moved, ...]


def beats_heard(cue: Cue, music: Music, at: Fraction, until: Fraction) -> list[Fraction]:
    """When the beats of a sound are heard, in seconds of the clock on which it starts.

    Parameters
    ----------
    cue
        How it is played: what of it, how long, round and round.
    music
        The sound.
    at
        When it starts.
    until
        When nobody listens any more.
    """
    skip = exact(cue.skip)
    stop = until if cue.seconds is None else min(until, at + exact(cue.seconds))
    left = None if music.length is None else music.length - skip
    if left is not None and left <= 0:
        return []
    if left is None or not cue.loop:
        stop = stop if left is None else min(stop, at + left)
        return [at + b - skip for b in music.document.beats_before(skip + stop - at) if b >= skip]
    once = [b - skip for b in music.document.beats_before(skip + left) if b >= skip]
    rounds = range(max(0, -floor((at - stop) / left)))
    return [beat for n in rounds for b in once if (beat := at + n * left + b) < stop]


def snap(
    scene: Scene, music: Music, rate: Fraction, cues: Iterable[Cue] = (), start: int | None = None
) -> Snapped:
    """Move the end of each panel to the frame nearest to the beat that is nearest to its written end.

    Panels keep their order and one frame at least. An end with no beat within one beat of it stays as it is
    written. Beats count from where cues of the film, or of the scene (those on events apart), play the sound.

    Parameters
    ----------
    scene
        A scene that snaps to a sound.
    music
        The sound.
    rate
        Frames a second.
    cues
        Those cues of the film that play it.
    start
        The frame of the film on which the scene starts; None when it is not in the film.
    """
    written = _written_ends(scene, rate)
    until = written[-1] / rate + FARTHER
    known: list[Fraction] = []
    if start is not None:
        opens = start / rate
        for cue in cues:
            heard = beats_heard(cue, music, exact(cue.start), opens + until)
            known += [(beat - opens) * rate for beat in heard if beat >= opens]
    own = [cue for cue in scene.cues if cue.sound == scene.snap and cue.event is None]
    names = [panel.name for panel in scene.panels]
    end, lengths, moved = 0, [], []
    for i, ideal in enumerate(written):
        for cue in (c for c in own if (c.panel or names[0]) == names[i]):
            at = end / rate + exact(cue.start)
            known += [beat * rate for beat in beats_heard(cue, music, at, until)]
        plain = floor(ideal + Fraction(1, 2))
        snapped, gap = _nearest(sorted(set(known)), ideal, end)
        becomes = max(end + 1, plain if snapped is None else snapped)
        if snapped is not None and snapped != plain:
            moved.append(Moved(i, snapped - plain, abs(snapped - ideal) / gap))
        lengths.append(becomes - end)
        end = becomes
    panels = [
        panel.model_copy(update={"frames": frames, "seconds": None})
        for panel, frames in zip(scene.panels, lengths, strict=True)
    ]
    return Snapped(scene.model_copy(update={"panels": panels}), tuple(moved))


def plays(scene: Scene, cues: Iterable[Cue]) -> bool:
    """Whether a scene hears the sound that it snaps to, from a cue of its own or one of these of the film."""
    own = (cue for cue in scene.cues if cue.event is None)
    return any(cue.sound == scene.snap for cue in (*own, *cues))


def _written_ends(scene: Scene, rate: Fraction) -> list[Fraction]:
    ends, ideal = [], Fraction(0)
    for panel in scene.panels:
        ideal += exact(panel.seconds) * rate if panel.seconds is not None else Fraction(panel.frames or 1)
        ends.append(ideal)
    return ends


def _nearest(beats: Sequence[Fraction], ideal: Fraction, after: int) -> tuple[int | None, Fraction]:
    """The frame of the beat nearest to a place and after a frame, and how many frames a beat lasts."""
    if len(beats) < 2:
        return None, Fraction(1)
    gap = Fraction(median(b - a for a, b in pairwise(beats)))
    frames = ((abs(beat - ideal), floor(beat + Fraction(1, 2))) for beat in beats)
    away, frame = min((one for one in frames if one[1] > after), default=(gap + 1, 0))
    return (frame, gap) if away <= gap else (None, gap)
