"""``splitpin new``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import Json
from splitpin.command.speak import guarded, out, printable, quoted, say_json


def new(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="Where the film shall be: a new or empty folder.")
    ],
    example: Annotated[
        bool, typer.Option("--example", help="Write the example film, Exact Change, instead of an empty one.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Begin a film: a folder with two cards that plays at once.

    Like this:

        splitpin new hello

        splitpin new exact-change --example
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.new import new as begin

        begin(folder, example=example)
        if as_json:
            say_json({"folder": str(folder)})
        else:
            out().print(
                printable(f"A film is in {folder}. Make it with: splitpin make {quoted(folder)}"),
                markup=False,
            )
