"""``splitpin bring``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from splitpin.command.options import HERE, Json
from splitpin.command.speak import guarded, out, printable, say_json

if TYPE_CHECKING:
    from splitpin.jobs.bring import Brought


def bring(
    files: Annotated[
        list[Path],
        typer.Argument(
            metavar="FILE...",
            help="Pictures: JPEG, PNG, TIFF or WebP. Sounds: WAV, FLAC, OGG or MP3.",
        ),
    ],
    into: Annotated[
        Path,
        typer.Option(
            "--into", metavar="FOLDER", help="The film folder; here when left out.", show_default=False
        ),
    ] = HERE,
    title: Annotated[str, typer.Option(help="What the work is called, for the credits.")] = "",
    source: Annotated[str, typer.Option(help="Where they were found.")] = "",
    by: Annotated[str, typer.Option(help="Who made them.")] = "",
    date: Annotated[str, typer.Option(help="When they were made or printed.")] = "",
    licence: Annotated[
        str | None, typer.Option(metavar="SPDX", help="Their terms, such as CC0-1.0.", show_default=False)
    ] = None,
    ppi: Annotated[
        float | None,
        typer.Option(help="Pixels per inch of the scans, whatever the files tell.", show_default=False),
    ] = None,
    as_json: Json = False,
) -> None:
    """Bring found pictures and sounds into a film folder, and note where they come from.

    The files are copied as they are and never altered; one that is there already is named, not stored again,
    and what its document did not say yet is noted. Of a TIFF each page is a picture.

    Like this:

        splitpin bring cat.jpg cup.tif --into hello --source "Journal, p. 3" --licence CC-PDM-1.0 --ppi 600

        splitpin bring rain.flac --into hello --by "Ada" --licence CC-BY-4.0
    """
    with guarded(into, as_json=as_json):
        from splitpin.jobs.bring import bring as bring_in
        from splitpin.jobs.papers import Told

        asks = None if as_json or ppi is not None or not sys.stdin.isatty() else _ask
        brought = bring_in(into, files, Told(source, by, date, licence, ppi, title), asks)
        if as_json:
            say_json({f"{kind}s": [_data(b) for b in brought if b.kind == kind] for kind in FIELDS})
            return
        for b in brought:
            _tell(b)
        from splitpin.cutout.cutout import PPI

        unsized = dict.fromkeys(b.name for b in brought if b.kind == "picture" and b.ppi is None)
        if unsized:
            text = f"no ppi known of {', '.join(unsized)}: taken for {PPI:g} when cut; bring again with --ppi"
            out().print(printable(text), style="yellow", markup=False)


_COMMON = ("file", "name", "document", "duplicate", "taken_up", "notes")
FIELDS = {
    "picture": (*_COMMON, "page", "width", "height", "ppi"),
    "sound": (*_COMMON, "seconds", "sampling", "channels"),
}
"""What is said of each kind in JSON."""


def _data(b: Brought) -> dict[str, object]:
    from splitpin.cutout.cutout import PPI

    data = {key: getattr(b, key) for key in FIELDS[b.kind]} | {"kept": [k._asdict() for k in b.kept]}
    return data | ({"ppi_assumed": PPI if b.ppi is None else None} if b.kind == "picture" else {})


def _tell(b: Brought) -> None:
    page = f" page {b.page}" if b.page > 1 else ""
    place = f"{b.kind}s/{b.name}"
    if b.duplicate:
        noted = f"; noted now: {', '.join(b.taken_up)}" if b.taken_up else ""
        what = f"is {place} already{noted}"
    elif b.kind == "picture":
        what = f"{place}  {b.width} × {b.height}" + (f", {b.ppi:g} ppi" if b.ppi else "")
    else:
        what = f"{place}  {b.seconds:.2f} s"
    out().print(printable(f"{b.file}{page}: {what}"), markup=False)
    notes = [f"{k.key} stays {k.noted}, not {k.given}: change it in {b.document}" for k in b.kept]
    for note in (*b.notes, *notes):
        out().print(printable(f"    {note}"), style="yellow", markup=False)


def _ask(name: str) -> float | None:
    answer = typer.prompt(f"{name}: pixels per inch of the scan (empty: not known)", default="", err=True)
    try:
        ppi = float(answer)
    except ValueError:
        return None
    return ppi if 0 < ppi <= 1e6 else None
