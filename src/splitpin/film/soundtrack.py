"""From the sheets of a film to its sound track: where each cue is heard, to the sample."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from splitpin.measure.rate import samples_of
from splitpin.scene.scene import Cue
from splitpin.sheet.sheet import Sheet, Sounding
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

    def __str__(self) -> str:
        place = f"scene {self.scene}" if self.scene else "film"
        return f"{self.sound} ({place}, {float(self.seconds):.2f} s): {self.found}; {self.remedy}"


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
    sheets: Sequence[Sheet], cues: Sequence[Cue], rate: Fraction, sources: Mapping[str, Source]
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
    """
    total = sum(sheet.frames for sheet in sheets)
    length = samples_of(total, rate)
    silent = {name for name, source in sources.items() if is_silent(source)}
    voicings: list[Voicing] = []
    unheard: list[Unheard] = []
    for heard in sorted([*_of_scenes(sheets), *_of_film(cues, rate, total)], key=lambda h: h.at):
        source = sources.get(heard.cue.sound)
        voicing = None if source is None else voicing_of(heard, rate, source.frames)
        matter = _matter(heard, voicing, source, heard.cue.sound in silent, length)
        if matter is not None:
            unheard.append(Unheard(heard.cue.sound, heard.scene, heard.at / rate, *matter))
        if voicing is not None and voicing.length > 0:
            voicings.append(voicing)
    return Soundtrack(Mix(tuple(voicings), sources, length), tuple(voicings), tuple(unheard))


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
    )


def _of_scenes(sheets: Sequence[Sheet]) -> Iterable[Timed]:
    start = 0
    for sheet in sheets:
        for sounding in sheet.soundings:
            yield _on_the_films_clock(sounding, sheet.scene, start)
        start += sheet.frames


def _on_the_films_clock(sounding: Sounding, scene: str, start: int) -> Timed:
    return Timed(sounding.cue, scene, start + sounding.at, start + sounding.until)


def _of_film(cues: Sequence[Cue], rate: Fraction, total: int) -> Iterable[Timed]:
    for cue in cues:
        yield Timed(cue, "", _exact(cue.start) * rate, Fraction(total))


def _exact(seconds: float) -> Fraction:
    """The decimal number that a person wrote, rather than the binary one next to it."""
    return Fraction(seconds).limit_denominator(1_000_000)


def _samples(seconds: float) -> int:
    return samples_of(_exact(seconds), Fraction(1), SAMPLING)


def _matter(
    heard: Timed, voicing: Voicing | None, source: Source | None, silent: bool, length: int
) -> tuple[str, str] | None:
    if source is None or voicing is None:
        return "the sound is not there and is left silent", "put the file there, or correct the cue"
    if silent:
        return "nothing can be heard in the file", "record or save it again"
    if voicing.length == 0:
        if heard.cue.skip and voicing.skip >= source.frames:
            return "all of the sound is skipped", f"skip less than {source.frames / SAMPLING:.2f} s"
        return "it is heard for no time at all", "make it longer, or take the cue out"
    if voicing.at >= length or voicing.end <= 0:
        return "it lies outside the film and is not heard", "start it within the film"
    if voicing.end > length:
        over = (voicing.end - length) / SAMPLING
        return f"its last {over:.2f} s are cut off by the end of the film", "start it earlier, or shorten it"
    if voicing.at < 0:
        return f"its first {-voicing.at / SAMPLING:.2f} s lie before the film", "start it later, or skip them"
    return None
