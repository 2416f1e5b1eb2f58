"""From the sheets of a film to its sound track: where each cue is heard, to the sample."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import accumulate
from typing import NamedTuple

from splitpin.measure.rate import exact, samples_of
from splitpin.scene.scene import Cue
from splitpin.sheet.sheet import Sheet, Sounding
from splitpin.sound.duck import Ducking, ducked
from splitpin.sound.mix import Mix, Voicing
from splitpin.sound.source import SAMPLING, Source, is_silent


class Unheard(NamedTuple):
    """A cue of which nothing, or not all, is heard, and its place."""

    sound: str
    """The file the cue names."""
    scene: str
    """The scene it stands in; empty for a cue of the whole film."""
    seconds: Fraction
    """When it would start, after the start of the film."""
    found: str
    """What is the matter."""
    remedy: str
    """What to do."""
    cue: Cue
    """The cue as it stands in its document."""
    key: str
    """The key of the cue that it is about."""

    def __str__(self) -> str:
        place = f"scene {self.scene}" if self.scene else "film"
        return f"{self.sound} ({place}, {float(self.seconds):.2f} s): {self.found}; {self.remedy}"


class Length(NamedTuple):
    """What must be known of a sound to say how much of it is heard."""

    frames: int
    """Samples."""
    silent: bool
    """Whether nothing in it can be heard."""


class Soundtrack(NamedTuple):
    """What a film sounds like, before it is brought to its level."""

    mix: Mix
    voicings: tuple[Voicing, ...]
    """In the order in which they start."""
    unheard: tuple[Unheard, ...]
    """What a person should know."""


class Timed(NamedTuple):
    """A cue of the film or of one of its scenes, on the clock of the film."""

    cue: Cue
    scene: str
    at: Fraction
    """Its start, in frames of the film."""
    until: Fraction
    """Where a loop with no length of its own ends, in frames of the film."""


def soundtrack(
    sheets: Sequence[Sheet],
    cues: Sequence[Cue],
    rate: Fraction,
    sources: Mapping[str, Source],
    ducking: Ducking | None = None,
) -> Soundtrack:
    """Put every cue in its place.

    Parameters
    ----------
    sheets
        The scenes in the order of the film.
    cues
        The film's own cues; they start so many seconds after the start of the film.
    rate
        Frames a second.
    sources
        The sounds by the names that the cues use. One that is missing is reported and left silent.
    ducking
        How music and effects make room for voices; they do not when left out.
    """
    lengths = {name: Length(source.frames, is_silent(source)) for name, source in sources.items()}
    there = (h for h in timed(sheets, cues, rate) if h.cue.sound in sources)
    voicings = (voicing_of(h, rate, lengths[h.cue.sound].frames) for h in there)
    heard = tuple(v for v in voicings if v.length > 0)
    length = samples_of(sum(sheet.frames for sheet in sheets), rate)
    mix = Mix(heard, sources, length)
    if ducking is not None:
        mix = ducked(mix, heard, sources, ducking)
    return Soundtrack(mix, heard, unheard(sheets, cues, rate, lengths))


def unheard(
    sheets: Sequence[Sheet], cues: Sequence[Cue], rate: Fraction, lengths: Mapping[str, Length]
) -> tuple[Unheard, ...]:
    """Every cue of which nothing, or not all, is heard as it is meant, in the order in which they start.

    Parameters
    ----------
    sheets
        The scenes in the order of the film.
    cues
        The film's own cues.
    rate
        Frames a second.
    lengths
        The sounds that are there, by the names that the cues use.
    """
    end = samples_of(sum(sheet.frames for sheet in sheets), rate)
    found: list[Unheard] = []
    for heard in timed(sheets, cues, rate):
        matter = _matter(heard, rate, lengths.get(heard.cue.sound), end)
        if matter is not None:
            key, what, remedy = matter
            found.append(Unheard(heard.cue.sound, heard.scene, heard.at / rate, what, remedy, heard.cue, key))
    for scene, start in _starts(sheets):
        for lost in scene.unheard:
            what = f"{lost.cue.event} never happens: the scene ends before"
            remedy = "let the move start earlier or take less time, or give its panel more"
            at = (start + lost.at) / rate
            found.append(Unheard(lost.cue.sound, scene.scene, at, what, remedy, lost.cue, "event"))
    return tuple(sorted(found, key=lambda one: one.seconds))


def timed(sheets: Sequence[Sheet], cues: Sequence[Cue], rate: Fraction) -> list[Timed]:
    """All cues on the clock of the film, in the order in which they start."""
    total = sum(sheet.frames for sheet in sheets)
    return sorted([*_of_scenes(sheets), *_of_film(cues, rate, total)], key=lambda h: h.at)


def voicing_of(heard: Timed, rate: Fraction, frames: int) -> Voicing:
    """A cue in samples: each time is rounded to the nearest sample once, from the exact value.

    Parameters
    ----------
    heard
        The cue and its place.
    rate
        Frames a second.
    frames
        The length of its source, in samples.
    """
    cue = heard.cue
    at, skip = samples_of(heard.at, rate), _samples(cue.skip)
    left = max(0, frames - skip)
    if cue.loop and left:
        length = max(0, samples_of(heard.until, rate) - at) if cue.seconds is None else _samples(cue.seconds)
    else:
        length = left if cue.seconds is None else min(left, _samples(cue.seconds))
    return Voicing(
        source=cue.sound,
        at=at,
        length=length,
        skip=skip,
        gain=cue.gain,
        pan=cue.pan,
        fade_in=_samples(cue.fade_in),
        fade_out=_samples(cue.fade_out),
        loop=cue.loop and left > 0,
        kind=cue.kind,
        ducks=cue.ducks,
    )


def _of_scenes(sheets: Sequence[Sheet]) -> Iterable[Timed]:
    for sheet, start in _starts(sheets):
        for sounding in sheet.soundings:
            yield _on_the_films_clock(sounding, sheet.scene, start)


def _starts(sheets: Sequence[Sheet]) -> Iterable[tuple[Sheet, int]]:
    """Each scene and its first frame in the film."""
    return zip(sheets, accumulate((sheet.frames for sheet in sheets), initial=0), strict=False)


def _on_the_films_clock(sounding: Sounding, scene: str, start: int) -> Timed:
    return Timed(sounding.cue, scene, start + sounding.at, start + sounding.until)


def _of_film(cues: Sequence[Cue], rate: Fraction, total: int) -> Iterable[Timed]:
    for cue in cues:
        yield Timed(cue, "", exact(cue.start) * rate, Fraction(total))


def _samples(seconds: float) -> int:
    return samples_of(exact(seconds), Fraction(1), SAMPLING)


def _matter(heard: Timed, rate: Fraction, known: Length | None, end: int) -> tuple[str, str, str] | None:
    """The key that it is about, what is the matter with a cue, and what to do."""
    cue = heard.cue
    if known is None:
        return "sound", "the sound is not there and is left silent", "put the file there, or correct the cue"
    if known.silent:
        return "sound", "nothing can be heard in the file", "record or save it again"
    voicing = voicing_of(heard, rate, known.frames)
    if voicing.length == 0:
        if cue.skip and voicing.skip >= known.frames:
            return "skip", "all of the sound is skipped", f"skip less than {known.frames / SAMPLING:.2f} s"
        return "seconds", "it is heard for no time at all", "make it longer, or take the cue out"
    if voicing.at >= end or voicing.end <= 0:
        return "start", "it lies outside the film and is not heard", "start it within the film"
    if voicing.end > end:
        over = (voicing.end - end) / SAMPLING
        what = f"its last {over:.2f} s are cut off by the end of the film"
        return "start", what, "start it earlier, or shorten it with `seconds`"
    if voicing.at < 0:
        what = f"its first {-voicing.at / SAMPLING:.2f} s lie before the film"
        return "start", what, "start it later, or skip them"
    fades = (voicing.fade_in + voicing.fade_out) / SAMPLING
    if voicing.fade_in + voicing.fade_out > voicing.length:
        what = f"its fades take {fades:.2f} s, it is heard for {voicing.length / SAMPLING:.2f} s"
        return "fade_out" if cue.fade_out else "fade_in", what, "make the fades shorter"
    return None
