"""Captions of a film: from the lines of its panels and the voices that say them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from typing import NamedTuple

import numpy as np

from splitpin.device.soundfile_reader import read_blocks
from splitpin.film.caption_checks import unread
from splitpin.film.caption_text import FORMATS, Format, caption_text
from splitpin.film.captions import Caption, Spoken, captions
from splitpin.film.soundtrack import timed as timed_cues
from splitpin.film.soundtrack import voicing_of
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import Mistake
from splitpin.folder.save import write_whole
from splitpin.jobs.output import refuse_output
from splitpin.jobs.ready import ready
from splitpin.measure.fault import Fault
from splitpin.sheet.sheet import Sheet
from splitpin.sound.source import SAMPLING, Sound, SoundError
from splitpin.voice.align import Word, aligned
from splitpin.voice.read import track_of
from splitpin.voice.speech import Speech
from splitpin.voice.track import STEP, Track


class _Said(NamedTuple):
    """A stretch of a recording."""

    at: Fraction
    """Frames of the film at which the recording would start."""
    words: tuple[Word, ...]


class Captioned(NamedTuple):
    """What is spoken in a film, and its captions."""

    spoken: tuple[Spoken, ...]
    captions: tuple[Caption, ...]


def captioned(
    folder: FilmFolder, sheets: Sequence[Sheet], voices: Mapping[str, Speech] | None = None
) -> Captioned:
    """Caption scenes, as a film of their own.

    A line is timed by the words of the panel's voice where one is recorded, else by its panel.

    Parameters
    ----------
    folder
        The film folder, without mistakes.
    sheets
        The scenes, in order.
    voices
        The voices that were heard already; others are heard now.
    """
    film = folder.film
    spoken: list[Spoken] = []
    start = 0
    for sheet in sheets:
        says = {panel.name: panel for panel in folder.scenes[sheet.scene].panels}
        for name, first, frames in sheet.panels:
            panel = says[name]
            text = " ".join(panel.says.split())
            if not text:
                continue
            begin, end = Fraction(start + first), Fraction(start + first + frames)
            voice = _voice(folder, sheet, name, text, film.exact_rate, voices or {})
            times: tuple[tuple[Fraction, Fraction], ...] = ()
            if voice is not None:
                rate = film.exact_rate
                times = tuple(
                    (
                        start + voice.at + Fraction(w.start_s) * rate,
                        start + voice.at + Fraction(w.end_s) * rate,
                    )
                    for w in voice.words
                )
                begin, end = times[0][0], times[-1][1]
            until = start + sheet.frames
            speaker = panel.speaker or ""
            spoken.append(Spoken(text, speaker, begin, end, until, times, sheet.scene, name))
        start += sheet.frames
    return Captioned(tuple(spoken), captions(spoken, start, film.exact_rate, film.captions))


def write_captions(
    root: Path, form: Format | None, to: Path | None, *, again: bool = False
) -> tuple[str, int]:
    """The captions of a film as text, written to a file where one is named; and how many there are.

    Parameters
    ----------
    root
        The film folder.
    form
        ``vtt`` or ``srt``; by the file's ending, or ``vtt``, when left out.
    to
        Where they go.
    again
        Write over a file of that name.

    Raises
    ------
    FolderError
        When the file has another ending, is there already or cannot be written.
    RefusedError
        While the folder has mistakes.
    """
    if to is not None:
        refuse_output(to, [f".{form}"] if form else [f".{f}" for f in FORMATS], again=again)
    found = ready(root)
    by_name: Format = "srt" if to is not None and to.suffix.lower() == ".srt" else "vtt"
    own = captioned(found.folder, found.sheets, found.heard.voices).captions
    text = caption_text(own, found.folder.film.exact_rate, form or by_name)
    if to is not None:
        write_whole(to, text.encode())
    return text, len(own)


def warnings_of_captions(
    folder: FilmFolder, sheets: Sequence[Sheet], voices: Mapping[str, Speech] | None = None
) -> list[Mistake]:
    """Lines that cannot be read as they are captioned, each on its line in its scene's document."""
    found = captioned(folder, sheets, voices)
    film = folder.film
    told = []
    for one in unread(found.spoken, found.captions, film.exact_rate, film.captions):
        line = found.spoken[one.spoken]
        panels = [panel.name for panel in folder.scenes[line.scene].panels]
        document = folder.documents[f"scenes/{line.scene}.toml"]
        path = ("panels", panels.index(line.panel), "says")
        told.append(document.mistake(Fault(path, one.found, one.expected, one.remedy)))
    return told


def _voice(
    folder: FilmFolder, sheet: Sheet, panel: str, text: str, rate: Fraction, voices: Mapping[str, Speech]
) -> _Said | None:
    """The voice that says a panel's line, where it is recorded and there is just one."""
    spans = {name: (first, first + frames) for name, first, frames in sheet.panels}
    first, end = spans[panel]
    cues = [
        heard
        for heard in timed_cues([sheet], (), rate)
        if heard.cue.kind == "voice"
        and heard.cue.sound in folder.audible
        and not heard.cue.loop
        and (heard.cue.panel == panel if heard.cue.panel and not heard.cue.event else first <= heard.at < end)
    ]
    if len(cues) != 1:
        return None
    if (speech := voices.get(cues[0].cue.sound)) is not None:
        voicing = voicing_of(cues[0], rate, speech.track.samples)
        track, late = speech.track.part(voicing.skip, voicing.length), voicing.skip % STEP
        return _said(track, text, Fraction(voicing.at - late, SAMPLING) * rate)
    try:
        sound = np.concatenate(
            [np.zeros((0, 2), np.float32), *_blocks(folder.sound_path(cues[0].cue.sound), cues[0].cue.sound)]
        )
    except SoundError:  # told of by whoever mixes it
        return None
    voicing = voicing_of(cues[0], rate, len(sound))
    track = track_of(sound[voicing.skip : voicing.skip + voicing.length])
    return _said(track, text, Fraction(voicing.at, SAMPLING) * rate)


def _said(track: Track, text: str, at: Fraction) -> _Said | None:
    words = aligned(track, text)
    return _Said(at, words) if track.speech.any() and len(words) == len(text.split()) else None


def _blocks(path: Path, name: str) -> Iterable[Sound]:
    return read_blocks(path, f"sounds/{name}")
