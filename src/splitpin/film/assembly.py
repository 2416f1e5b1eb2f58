"""The film as an editing room sees it: scenes end to end, panels marked in them, sounds on their tracks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from splitpin.measure.rate import samples_of
from splitpin.sheet.sheet import Sheet
from splitpin.sound.mix import Kind, Voicing


class Mark(NamedTuple):
    """A panel, in frames of its scene."""

    name: str
    start: int
    frames: int


class SceneClip(NamedTuple):
    """A scene of the film."""

    name: str
    start: int
    """Its first frame in the film."""
    frames: int
    marks: tuple[Mark, ...]


class SoundClip(NamedTuple):
    """A part of a sound, in samples of 48 kHz."""

    at: int
    """Its first sample in the film."""
    length: int
    skip: int
    """Samples of the sound left out before it."""
    voicing: Voicing
    """The cue it belongs to, as it is mixed."""

    @property
    def end(self) -> int:
        """The first sample of the film after it."""
        return self.at + self.length


class SoundTrack(NamedTuple):
    """Sounds of one kind that do not overlap, in the order in which they are heard."""

    kind: Kind
    clips: tuple[SoundClip, ...]


class Assembly(NamedTuple):
    """A film, or some of its scenes."""

    rate: Fraction
    scenes: tuple[SceneClip, ...]
    tracks: tuple[SoundTrack, ...]

    @property
    def frames(self) -> int:
        """How long it is."""
        return sum(scene.frames for scene in self.scenes)


KINDS: tuple[Kind, ...] = ("voice", "effect", "music")


def assemble(
    sheets: Sequence[Sheet],
    scenes: Sequence[str],
    voicings: Iterable[Voicing],
    lengths: Mapping[str, int],
    rate: Fraction,
) -> Assembly:
    """Put scenes and sounds in their places.

    Parameters
    ----------
    sheets
        All scenes of the film, in its order.
    scenes
        Those asked for.
    voicings
        All that is heard in the whole film.
    lengths
        How many samples each sound has, by the name that the voicings use: a loop becomes a clip for each
        time it goes round.
    rate
        Frames a second.
    """
    clips: list[SceneClip] = []
    spans: list[tuple[int, int]] = []
    start = whole = 0
    for sheet in sheets:
        if sheet.scene in scenes:
            clips.append(SceneClip(sheet.scene, start, sheet.frames, tuple(Mark(*p) for p in sheet.panels)))
            spans.append((samples_of(whole, rate), samples_of(whole + sheet.frames, rate)))
            start += sheet.frames
        whole += sheet.frames
    heard = [clip for v in voicings for turn in _turns(v, lengths) for clip in _within(turn, _joined(spans))]
    tracks = [
        SoundTrack(kind, tuple(lane))
        for kind in KINDS
        for lane in _lanes(sorted((c for c in heard if c.voicing.kind == kind), key=lambda c: c.at))
    ]
    return Assembly(rate, tuple(clips), tuple(tracks))


def _joined(spans: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    # A sound that goes on from scene to scene stays in one piece.
    joined: list[tuple[int, int]] = []
    for start, end in spans:
        if joined and joined[-1][1] == start:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((start, end))
    return joined


def _turns(voicing: Voicing, lengths: Mapping[str, int]) -> Iterator[SoundClip]:
    """Each time a loop goes round; anything else is heard once."""
    there = lengths[voicing.source] - voicing.skip
    if not voicing.loop:
        if min(voicing.length, there) > 0:
            yield SoundClip(voicing.at, min(voicing.length, there), voicing.skip, voicing)
        return
    for at in range(voicing.at, voicing.end, there):
        yield SoundClip(at, min(there, voicing.end - at), voicing.skip, voicing)


def _within(clip: SoundClip, spans: Iterable[tuple[int, int]]) -> Iterator[SoundClip]:
    """What of a clip is heard in some parts of the film, which follow one another."""
    before = 0
    for start, end in spans:
        first, last = max(clip.at, start), min(clip.end, end)
        if first < last:
            yield clip._replace(
                at=before + first - start, length=last - first, skip=clip.skip + first - clip.at
            )
        before += end - start


def _lanes(clips: Iterable[SoundClip]) -> list[list[SoundClip]]:
    """As few tracks as hold them without overlap: each goes to the first that is free."""
    lanes: list[list[SoundClip]] = []
    for clip in clips:
        free = next((lane for lane in lanes if lane[-1].end <= clip.at), None)
        if free is None:
            lanes.append([clip])
        else:
            free.append(clip)
    return lanes
