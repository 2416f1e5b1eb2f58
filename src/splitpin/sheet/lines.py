"""The lines that are spoken in a scene: which mouth speaks which sound, and from when."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from splitpin.measure.rate import exact
from splitpin.motion.move import Span
from splitpin.motion.speak import Speak
from splitpin.scene.scene import Scene
from splitpin.sheet.sheet import Said, Sounding
from splitpin.sheet.timing import Timing
from splitpin.voice.mouth import Mouth, Reading, joined
from splitpin.voice.speech import Speech

Voices = Mapping[str, Speech]
"""Recorded voices by their files, as cues and moves name them."""


class Line(NamedTuple):
    """A voice in its place in the scene, in frames that need not be whole."""

    at: Fraction
    """Where it is first heard."""
    origin: Fraction
    """Where the recording would begin if nothing of it were skipped."""
    end: Fraction | None
    """Where it is heard no more; None where nobody knows how long it is."""


def line_of(sounding: Sounding, speech: Speech | None, rate: Fraction) -> Line:
    """The place of a voice that a cue plays."""
    cue, at = sounding.cue, sounding.at
    skip = exact(cue.skip)
    left = None if speech is None else max(Fraction(0), speech.seconds - skip)
    if cue.seconds is not None:
        heard = exact(cue.seconds)
        left = heard if left is None else min(left, heard)
    return Line(at, at - skip * rate, None if left is None else at + left * rate)


def goes_by_cue(move: object) -> bool:
    """Whether a move speaks and says nothing of when it starts."""
    return isinstance(move, Speak) and move.start == 0 and move.after is None


class Lines:
    """The lines of a scene as far as they are known."""

    def __init__(self, scene: Scene, timing: Timing, voices: Voices) -> None:
        self._scene, self._timing, self._voices = scene, timing, voices
        self.cued: dict[int, Line] = {}
        """By the move's place in the list, the lines of those that start with a cue."""

    def hear(self, soundings: Iterable[Sounding]) -> None:
        """Let mouths find their cues among what sounds; what is spoken as a voice goes first."""
        heard = sorted(soundings, key=lambda s: (s.cue.kind != "voice", s.at))
        self.cued = {}
        for i, move in enumerate(self._scene.moves):
            if not isinstance(move, Speak) or not goes_by_cue(move):
                continue
            own = (s for s in heard if s.cue.sound == move.sound and self._in_panel(s, move.panel))
            if (sounding := next(own, None)) is not None:
                self.cued[i] = line_of(sounding, self._voices.get(move.sound), self._timing.rate)

    def line(self, i: int, span: Span) -> Line:
        """The line of a move that speaks; one that goes by no cue begins with its span."""
        if i in self.cued:
            return self.cued[i]
        long = self.lasts.get(i)
        start = Fraction(span.start)
        return Line(start, start, None if long is None else start + long)

    @property
    def lasts(self) -> dict[int, Fraction]:
        """How many frames the voice of each move that speaks is heard, where that is known."""
        found: dict[int, Fraction] = {}
        for i, move in enumerate(self._scene.moves):
            if not isinstance(move, Speak):
                continue
            line, speech = self.cued.get(i), self._voices.get(move.sound)
            if line is not None and line.end is not None and speech is not None:
                found[i] = line.end - line.at
            elif line is None and speech is not None:
                found[i] = speech.seconds * self._timing.rate
        return found

    def reading(self, i: int, span: Span) -> Reading | None:
        """What the mouth of a move does, in frames after its start; None where nothing is known of it."""
        move = self._scene.moves[i]
        speech = self._voices.get(move.sound) if isinstance(move, Speak) else None
        if speech is None:
            return None
        line = self.line(i, span)
        reading = speech.reading(span.rate, span.on, line.origin - span.start)
        first, last = line.at - span.start, (line.end or line.at) - span.start
        heard = [m for m in reading.exposures() if first - span.on < m.frame < last]
        gestures = tuple(max(0, g) for g in reading.gestures if first - span.rate < g < last)
        return reading._replace(mouths=joined(tuple(heard)), gestures=gestures)

    def _in_panel(self, sounding: Sounding, panel: str | None) -> bool:
        at = max(0, int(sounding.at))
        return panel is None or (at < self._timing.frames and self._timing.panel_at(at).name == panel)


def dialogue(
    scene: Scene,
    starts: Sequence[int],
    spans: Mapping[int, Span],
    soundings: Sequence[Sounding],
    lines: Lines,
    voices: Voices,
    timing: Timing,
) -> dict[int, tuple[Said, ...]]:
    """What is said on each exposure, by its first frame; exposures on which nobody speaks are left out.

    Parameters
    ----------
    scene, timing
        The scene and its clock.
    starts
        The first frame of each exposure.
    spans
        The frames of each move.
    soundings
        The cues in their places.
    lines, voices
        What is spoken, and what is known of it.
    """
    said: dict[int, list[Said]] = {}
    rows = list(zip(starts, [*starts[1:], timing.frames], strict=True))
    shown: set[tuple[str, Fraction]] = set()
    for i, span in spans.items():
        move = scene.moves[i]
        if not isinstance(move, Speak) or (reading := lines.reading(i, span)) is None:
            continue
        line, speech = lines.line(i, span), voices[move.sound]
        shown.add((move.sound, line.at))
        mouths = {mouth.frame // span.on: mouth for mouth in reading.exposures()}
        for frame, end in rows:
            if span.start <= frame < span.end:
                mouth = mouths.get((frame - span.start) // span.on, Mouth(0, 1, "shut", 0.0))
                word = _word(speech, line, frame, end, timing.rate)
                said.setdefault(frame, []).append(Said(move.who, word, mouth.shape, mouth.opening))
    speakers = {panel.name: panel.speaker or "" for panel in scene.panels}
    for sounding in soundings:
        speech_ = voices.get(sounding.cue.sound)
        line = line_of(sounding, speech_, timing.rate)
        if speech_ is None or sounding.cue.kind != "voice" or (sounding.cue.sound, line.at) in shown:
            continue
        who = speakers[timing.panel_at(max(0, min(int(line.at), timing.frames - 1))).name]
        for frame, end in rows:
            if word := _word(speech_, line, frame, end, timing.rate):
                said.setdefault(frame, []).append(Said(who, word))
    return {frame: tuple(all_of) for frame, all_of in said.items()}


def _word(speech: Speech, line: Line, frame: int, end: int, rate: Fraction) -> str:
    """The words that begin in a row, of the part of the recording that is heard."""
    first, last = max(Fraction(frame), line.at), Fraction(end)
    if line.end is not None:
        last = min(last, line.end)
    return speech.word_at((first - line.origin) / rate, (last - line.origin) / rate) if first < last else ""
