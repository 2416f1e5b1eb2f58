"""``splitpin reference``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import Json
from splitpin.command.speak import guarded, out, say_json


def reference(
    name: Annotated[
        str | None,
        typer.Argument(
            metavar="NAME",
            help="A document, a table or a move: film, scene, panels, slide; everything when left out.",
            show_default=False,
        ),
    ] = None,
    as_json: Json = False,
) -> None:
    """Tell every key of a film folder's documents, and every move.

    Like this:

        splitpin reference scene

        splitpin reference walk
    """
    with guarded(Path(), as_json=as_json):
        from splitpin.jobs.reference import tell

        text = tell(name)
        if as_json:
            say_json({"text": text})
        else:
            out().print(text, markup=False, end="")
