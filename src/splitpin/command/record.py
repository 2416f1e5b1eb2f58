"""``splitpin record``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import Again, Json
from splitpin.command.speak import err, guarded, out, printable, say_json
from splitpin.folder.mistake import FolderError


def record(
    file: Annotated[
        Path | None, typer.Argument(metavar="[NEW.wav]", help="Where it goes.", show_default=False)
    ] = None,
    into: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="Or the film it is for.", show_default=False)
    ] = None,
    panel: Annotated[
        str | None, typer.Option(metavar="SCENE/PANEL", help="The panel it is heard in.", show_default=False)
    ] = None,
    seconds: Annotated[
        float | None,
        typer.Option(
            metavar="N", min=0.1, max=3600, help="How long: as the panel, else 10.", show_default=False
        ),
    ] = None,
    again: Again = False,
    as_json: Json = False,
) -> None:
    """Record a scratch voice from the microphone.

    Like this:

        splitpin record --into hello --panel 010-first/says
    """
    with guarded(into or Path(), as_json=as_json):
        from splitpin.device.microphone import Microphone
        from splitpin.jobs.record import record_file, record_scratch

        scene, _, name = (panel or "").partition("/")
        if not as_json:
            err().print("speak now")
        if file is not None and into is None and panel is None:
            long = record_file(Microphone(), seconds or 10.0, file, again=again)
            told: dict[str, object] = {"file": str(file), "seconds": round(long, 3)}
        elif file is None and into is not None and name:
            kept = record_scratch(Microphone(), into, scene, name, seconds)
            told = {
                "file": str(into / "sounds" / kept.file),
                "seconds": round(kept.seconds, 3),
                "replaced": kept.replaced,
            }
        else:
            raise FolderError(
                "record",
                "no single place to go",
                "a file, or --into and --panel SCENE/PANEL",
                "say one of them",
            )
        if as_json:
            say_json(told)
        else:
            out().print(printable(f"{told['file']}  {told['seconds']} s"), markup=False)
