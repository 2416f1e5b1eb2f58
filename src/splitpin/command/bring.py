"""``splitpin bring``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import HERE, Json
from splitpin.command.speak import guarded, out, printable, say_json


def bring(
    files: Annotated[
        list[Path], typer.Argument(metavar="FILE...", help="Pictures: JPEG, PNG, TIFF or WebP.")
    ],
    into: Annotated[
        Path,
        typer.Option(
            "--into", metavar="FOLDER", help="The film folder; here when left out.", show_default=False
        ),
    ] = HERE,
    source: Annotated[str, typer.Option(help="Where they were found.")] = "",
    by: Annotated[str, typer.Option(help="Who made them.")] = "",
    date: Annotated[str, typer.Option(help="When they were made or printed.")] = "",
    licence: Annotated[
        str | None, typer.Option(metavar="SPDX", help="Their terms, such as CC0-1.0.", show_default=False)
    ] = None,
    ppi: Annotated[
        float | None,
        typer.Option(help="Pixels per inch of the scan, where the file does not tell.", show_default=False),
    ] = None,
    as_json: Json = False,
) -> None:
    """Bring found pictures into a film folder, and note where they come from.

    The files are copied as they are and never altered; a picture that is there already is named, not stored
    again. Of a TIFF each page is a picture.

    Like this:

        splitpin bring cat.jpg cup.tif --into hello --source "Journal, p. 3" --licence CC-PDM-1.0 --ppi 600
    """
    with guarded(into, as_json=as_json):
        from splitpin.jobs.bring import Told
        from splitpin.jobs.bring import bring as bring_in

        asks = None if as_json or ppi is not None or not sys.stdin.isatty() else _ask
        brought = bring_in(into, files, Told(source, by, date, licence, ppi), asks)
        if as_json:
            say_json({"pictures": [{**b._asdict(), "notes": list(b.notes)} for b in brought]})
            return
        for b in brought:
            page = f" page {b.page}" if b.page > 1 else ""
            size = f"{b.width} × {b.height}" + (f", {b.ppi:g} ppi" if b.ppi else ", no ppi known (--ppi)")
            what = f"is pictures/{b.name} already" if b.duplicate else f"pictures/{b.name}  {size}"
            out().print(printable(f"{b.file}{page}: {what}"), markup=False)
            for note in b.notes:
                out().print(printable(f"    {note}"), style="yellow", markup=False)


def _ask(name: str) -> float | None:
    answer = typer.prompt(f"{name}: pixels per inch of the scan (empty: not known)", default="", err=True)
    try:
        ppi = float(answer)
    except ValueError:
        return None
    return ppi if 0 < ppi <= 1e6 else None
