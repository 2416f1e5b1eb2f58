"""Read the track of a voice, and note in its document what a person knows better."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import NamedTuple, cast

import numpy as np

from splitpin.device.soundfile_reader import read_blocks
from splitpin.film.document import Film
from splitpin.folder.edit import DELETED, Edit, apply
from splitpin.folder.kinds import FILM, FILM_FILE, SOUND, Kind
from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError
from splitpin.folder.read import read_file
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.sound_papers import film_of, papers_of
from splitpin.jobs.voices import line_of
from splitpin.measure.plain import Plain
from splitpin.sound.source import SAMPLING
from splitpin.voice.document import VoiceDocument
from splitpin.voice.mouth import Reading
from splitpin.voice.overrule import Overrule
from splitpin.voice.read import track_of
from splitpin.voice.speech import Speech, speech_of
from splitpin.voice.track import Track

LONGEST = 1800
"""Seconds of the longest voice that is read."""
USUAL_RATE, USUAL_ON = Fraction(24), 2
HAIR = 1e-5
"""Seconds that do not count: times are written to a millionth."""


class Heard(NamedTuple):
    """A voice, its reading, and its words."""

    speech: Speech
    reading: Reading
    line: str = ""
    """The line of the panel in which it is heard, where that was taken for its words."""


def listen(file: Path, where: str) -> tuple[Track, float]:
    """Listen to a voice from start to end: its track, and its highest sample, full scale 1.

    Parameters
    ----------
    file
        A sound file.
    where
        What a person knows it by.

    Raises
    ------
    SoundError
        When it cannot be read.
    FolderError
        When it is longer than half an hour.
    """
    blocks, peak, samples = [], 0.0, 0
    for block in read_blocks(file, where):
        samples += len(block)
        if samples > LONGEST * SAMPLING:
            raise FolderError(where, "more than half an hour", "the voice of one scene", "cut it up")
        peak = max(peak, float(np.abs(block).max(initial=0.0)))
        blocks.append(block.mean(axis=1, dtype=np.float32))
    return track_of(np.concatenate(blocks or [np.zeros(0, np.float32)])), peak


def read_voice(file: Path, rate: Fraction | None = None, on: int | None = None, words: str = "") -> Heard:
    """Read the track of a voice.

    Parameters
    ----------
    file
        A sound file. In a film's ``sounds/`` its document tells what is said and how it is read.
    rate, on
        Frames a second, and frames an exposure: the film's, or 24 on twos, when left out.
    words
        What is said in it. When left out, what its document says; where that says nothing, the line of the
        panel in which it is heard alone.

    Raises
    ------
    SoundError
        When it cannot be read.
    FolderError
        When it is too long.
    RefusedError
        When its document, or the film's, has mistakes.
    """
    root = film_of(file)
    document: VoiceDocument | None = None
    line = ""
    if root is not None:
        film = cast(Film, _document(FILM, root, FILM_FILE))
        rate, on = rate or film.exact_rate, on or film.on
        if (root / papers_of(file)).exists():
            document = cast(VoiceDocument, _document(SOUND, root, papers_of(file)))
        if not words and not (document and document.words.strip()):
            line = line_of(load(root), file.name)
    if words or line:
        document = (document or VoiceDocument(format=1)).model_copy(update={"words": words or line})
    speech = speech_of(listen(file, str(file))[0], document)
    return Heard(speech, speech.reading(rate or USUAL_RATE, on or USUAL_ON), line)


def note_words(file: Path, words: str) -> str:
    """Write what is said into the document of a film's sound; the document, from the film folder.

    Raises
    ------
    FolderError
        When the sound lies in no film, or its document cannot be written.
    """
    return _note(file, "words", words)


def overrule(file: Path, reading: Reading, frames: tuple[int, int], mouth: Overrule | None) -> str:
    """Set the mouth of some exposures by hand, or let them go again, in the document of a film's sound.

    Parameters
    ----------
    file
        The sound.
    reading
        Its reading: the frames are those of its exposures.
    frames
        The first frame and the last one.
    mouth
        The mouth, whose times do not matter; None lets go whatever was set there, all of its frames.

    Returns
    -------
    str
        The document, from the film folder.

    Raises
    ------
    FolderError
        When the frames lie outside of the voice, nothing was set there, the sound lies in no film, or its
        document cannot be written.
    RefusedError
        When its document has mistakes.
    """
    root = _film(file)
    first, last = (frame // reading.on * reading.on for frame in frames)
    end = last + reading.on
    if not 0 <= first <= last < reading.start + reading.frames:
        within = f"0 to {reading.start + reading.frames - 1}, the frames of the voice"
        found = f"frame {frames[0]}" if frames[0] == frames[1] else f"frames {frames[0]} to {frames[1]}"
        raise FolderError(str(file), found, within, "count them in `splitpin read`")
    papers = root / papers_of(file)
    now: list[Overrule] = []
    if papers.exists():
        now = cast(VoiceDocument, _document(SOUND, root, papers_of(file))).overrules
    at, long = first / reading.rate, (end - first) / reading.rate
    exposures = [(frame / reading.rate, reading.on / reading.rate) for frame in range(first, end, reading.on)]
    free = [o for o in now if not any(o.holds(*exposure) for exposure in exposures)]
    if mouth is None:
        if len(free) == len(now):
            raise FolderError(
                str(file), f"no mouth is set by hand at frame {frames[0]}", "one that is",
                "look into the document of the sound",
            )  # fmt: skip
        kept = free
    else:
        by_hand = mouth.model_copy(update={"at": round(float(at), 6), "seconds": round(float(long), 6)})
        ends = float(at + long) + HAIR
        hidden = [o for o in now if o.at >= at - HAIR and o.at + o.seconds <= ends]
        kept = [*(o for o in now if o not in hidden), by_hand]
    values = [o.model_dump(exclude_none=True) for o in kept]
    return _note(file, "overrules", values or DELETED)


def _note(file: Path, key: str, value: object) -> str:
    root, document = _film(file), papers_of(file)
    if (root / document).exists():
        apply(root, Edit(document, (key,), value))
    else:
        apply(root, Edit(document, (), {"format": 1, key: value}))
    return document


def _film(file: Path) -> Path:
    root = film_of(file)
    if root is None:
        raise FolderError(
            str(file), "a sound outside of a film", "one in sounds/ of a film folder",
            "bring it in first: splitpin bring FILE --into FOLDER",
        )  # fmt: skip
    return root


def _document(kind: Kind, root: Path, file: str) -> Plain:
    document = read_file(kind, root, file)
    if document.value is None or document.mistakes:
        raise RefusedError(document.mistakes)
    return document.value
