"""``splitpin captions``."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import HERE, Here, Json
from splitpin.command.speak import guarded, out, printable, say_json


class CaptionForm(StrEnum):
    """The forms of captions."""

    vtt = "vtt"
    srt = "srt"


def captions(
    folder: Here = HERE,
    form: Annotated[
        CaptionForm | None,
        typer.Option("--format", help="WebVTT or SubRip; by the file's ending, or WebVTT, when left out."),
    ] = None,
    to: Annotated[
        Path | None, typer.Option("-o", "--out", metavar="FILE", help="Write them to a file.")
    ] = None,
    again: Annotated[bool, typer.Option("--again", help="Write over a file of that name.")] = False,
    as_json: Json = False,
) -> None:
    """Set the lines of the panels as captions, timed by the voices where they are recorded.

    `splitpin make` writes them beside a film and into it by itself.

    Like this:

        splitpin captions hello

        splitpin captions hello -o hello.srt
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.captions import write_captions

        text, count = write_captions(folder, form.value if form is not None else None, to, again=again)
        if as_json:
            say_json({"captions": count, "file": None if to is None else str(to), "text": text})
        elif to is not None:
            out().print(printable(f"{to}  {count} captions"), markup=False)
        else:
            out().print("\n".join(printable(line) for line in text.split("\n")), markup=False)
