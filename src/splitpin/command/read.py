"""``splitpin read``."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from splitpin.command.options import Json
from splitpin.command.speak import guarded, out, printable, say_json
from splitpin.folder.mistake import FolderError

if TYPE_CHECKING:
    from splitpin.jobs.read import Heard
    from splitpin.voice.overrule import Overrule

BAR = 10
"""Letters of a mouth that is wide open."""


def read(
    voice: Annotated[
        Path, typer.Argument(metavar="VOICE", help="A voice: WAV, FLAC, OGG or MP3.", show_default=False)
    ],
    fps: Annotated[
        str | None, typer.Option(metavar="RATE", help="Frames a second: as the film, else 24.")
    ] = None,
    on: Annotated[
        int | None, typer.Option(metavar="N", min=1, max=240, help="Frames an exposure: as the film, else 2.")
    ] = None,
    words: Annotated[str | None, typer.Option(metavar="TEXT", help="What is said.")] = None,
    transcript: Annotated[Path | None, typer.Option(metavar="FILE", help="Or a text file of it.")] = None,
    write: Annotated[
        bool, typer.Option("--write", help="Note what is said in the document of a film's sound.")
    ] = False,
    overrule: Annotated[
        list[str] | None,
        typer.Option(metavar="FRAME[-FRAME]:SHAPE[:OPENING]", help="Set a mouth by hand; may be repeated."),
    ] = None,
    forget: Annotated[
        list[str] | None,
        typer.Option(metavar="FRAME[-FRAME]", help="Let it go again; may be repeated."),
    ] = None,
    as_json: Json = False,
) -> None:
    """Read the track of a voice: which mouth shows on each exposure.

    Like this:

        splitpin read line.wav --words "Where is my coin?"

        splitpin read hello/sounds/line.wav --overrule 12-15:round:0.6
    """
    with guarded(Path(), as_json=as_json):
        from splitpin.jobs.read import note_words, read_voice
        from splitpin.jobs.read import overrule as set_by_hand

        said = _said(words, transcript)
        rate = _rate(fps)
        sets = [_mouth(text) for text in overrule or ()]
        gone = [_frames(text, text) for text in forget or ()]
        if write and not said:
            raise FolderError(str(voice), "--write without words", "--words or --transcript", "say them")
        heard = read_voice(voice, rate, on, said)
        document = note_words(voice, said) if write else None
        for frames in gone:
            document = set_by_hand(voice, heard.reading, frames, None)
        for frames, mouth in sets:
            document = set_by_hand(voice, heard.reading, frames, mouth)
        if sets or gone:
            heard = read_voice(voice, rate, on, said)
        if as_json:
            say_json({**_as_data(heard), "document": document})
            return
        if heard.line:
            out().print(printable(f"words as its panel says them: {heard.line}"), markup=False)
        for line in _lines(heard):
            out().print(printable(line), markup=False)
        if document is not None:
            out().print(printable(f"noted in {document}"), markup=False)


def _said(words: str | None, transcript: Path | None) -> str:
    if transcript is None:
        return (words or "").strip()
    if words is not None:
        raise FolderError("read", "both --words and --transcript", "one of the two", "leave one of them out")
    try:
        return transcript.read_text(encoding="utf-8-sig").strip()
    except (OSError, UnicodeDecodeError):
        raise FolderError(
            str(transcript), "no text that can be read", "a file of words in UTF-8", "look at its name"
        ) from None


def _rate(fps: str | None) -> Fraction | None:
    from splitpin.measure.rate import NAMED, parse_rate

    try:
        return None if fps is None else parse_rate(fps)
    except ValueError:
        raise FolderError("--fps", repr(fps), f"one of {', '.join(NAMED)}", "choose one of them") from None


def _frames(text: str, whole: str) -> tuple[int, int]:
    match = re.fullmatch(r"(\d{1,7})(?:-(\d{1,7}))?", text, re.ASCII)
    if match is None:
        raise FolderError("read", repr(whole), "FRAME or FRAME-FRAME", "such as 12 or 12-15")
    return int(match[1]), int(match[2] or match[1])


def _mouth(text: str) -> tuple[tuple[int, int], Overrule]:
    from pydantic import ValidationError

    from splitpin.voice.mouth import SHAPES
    from splitpin.voice.overrule import Overrule

    frames, _, rest = text.partition(":")
    shape, _, opening = rest.partition(":")
    try:
        mouth = Overrule.model_validate(
            {"at": 0.0, "seconds": 1.0, "shape": shape} | ({"opening": float(opening)} if opening else {})
        )
    except (ValidationError, ValueError):
        shapes = ", ".join(SHAPES)
        raise FolderError(
            "--overrule", repr(text), f"FRAME:SHAPE, SHAPE one of {shapes}, and an opening from 0 to 1",
            "such as 12:round:0.6",
        ) from None  # fmt: skip
    return _frames(frames, text), mouth


def _as_data(heard: Heard) -> dict[str, object]:
    from splitpin.measure.rate import format_rate

    reading = heard.reading
    return {
        "rate": format_rate(reading.rate),
        "on": reading.on,
        "mouths": [{**mouth._asdict(), "opening": round(mouth.opening, 4)} for mouth in reading.mouths],
        "gestures": list(reading.gestures),
        "words": [
            {"word": word.text, "start": round(word.start_s, 3), "end": round(word.end_s, 3)}
            for word in heard.speech.words
        ],
        "line": heard.line,
    }


def _lines(heard: Heard) -> Iterator[str]:
    rate = heard.reading.rate
    yield "frame  held  mouth  opening            words"
    for mouth in heard.reading.mouths:
        bar = ("#" * round(mouth.opening * BAR)).ljust(BAR, ".")
        said = heard.speech.word_at(mouth.frame / rate, (mouth.frame + mouth.frames) / rate)
        line = f"{mouth.frame:>5}  {mouth.frames:>4}  {mouth.shape:<5}  {bar}  {mouth.opening:.2f}   {said}"
        yield line.rstrip()
