"""``splitpin bench``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import Json
from splitpin.command.speak import guarded, out, printable, say_json


def bench(
    folder: Annotated[
        Path | None,
        typer.Argument(metavar="FOLDER", help="A film folder; without one the shelf is shown."),
    ] = None,
    port: Annotated[
        int | None, typer.Option("--port", metavar="N", min=0, max=65535, help="Where it is served.")
    ] = None,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open a browser.")] = False,
    as_json: Json = False,
) -> None:
    """Open the workbench: the whole job on one desk, in the browser of this computer.

    The address that it prints has a key in it and works on this computer only. It serves until Ctrl-C.

    Like this:

        splitpin bench exact-change
    """
    with guarded(folder or Path(), as_json=as_json):
        import webbrowser

        from splitpin.bench.serve import serve

        def ready(address: str) -> None:
            if as_json:
                say_json({"address": address})
            else:
                out().print(printable(f"The desk is at {address}"), markup=False, soft_wrap=True)
                out().print("Ctrl-C puts it away.", markup=False)
            if not no_open:
                webbrowser.open(address)

        serve(folder, port, ready)
