"""``splitpin beats``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import Json
from splitpin.command.speak import guarded, out, printable, say_json


def beats(
    sound: Annotated[
        Path, typer.Argument(metavar="SOUND", help="Music: WAV, FLAC, OGG or MP3.", show_default=False)
    ],
    near: Annotated[
        float | None,
        typer.Option(metavar="N", min=40, max=240, help="About how many beats a minute.", show_default=False),
    ] = None,
    write: Annotated[
        bool, typer.Option("--write", help="Note them in the document of a film's sound.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Find the beats of a piece of music, so that scenes can keep time with it.

    Like this:

        splitpin beats hello/sounds/music.wav --write
    """
    with guarded(Path(), as_json=as_json):
        from splitpin.jobs.beats import beats_in, note_beats

        found = beats_in(sound, near)
        document = note_beats(sound, found) if write else None
        if as_json:
            say_json({
                "tempo": round(found.tempo, 4) if found.even else None, "first_beat": round(found.first, 4),
                "even": found.even, "beats": [round(b, 4) for b in found.beats], "document": document,
            })  # fmt: skip
            return
        about = "" if found.even else "about "
        uneven = "" if found.even else ", not all alike"
        words = f"{about}{found.tempo:.2f} beats a minute{uneven}, the first at {found.first:.3f} s"
        out().print(printable(f"{sound}: {words}"), markup=False)
        if document is not None:
            out().print(printable(f"noted in {document}"), markup=False)
