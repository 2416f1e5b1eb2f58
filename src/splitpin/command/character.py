"""``splitpin character``."""

from __future__ import annotations

from typing import Annotated

import typer

from splitpin.command.options import Folder, Json
from splitpin.command.speak import guarded, out, printable, say_json
from splitpin.folder.mistake import FolderError


def character(
    folder: Folder,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The character.", show_default=False)],
    new: Annotated[
        str | None,
        typer.Option(
            metavar="CUTOUT,CUTOUT[,…]",
            help="Begin it of these cut-outs; the first carries the others.",
            show_default=False,
        ),
    ] = None,
    add: Annotated[
        list[str] | None,
        typer.Option(metavar="PIECE=CUTOUT", help="Add a piece; may be said again.", show_default=False),
    ] = None,
    on: Annotated[
        list[str] | None,
        typer.Option(metavar="PIECE=PIECE", help="Hang one on another, where it lies.", show_default=False),
    ] = None,
    lay: Annotated[
        list[str] | None,
        typer.Option(metavar="PIECE=X,Y", help="Its pin comes there, in mm.", show_default=False),
    ] = None,
    pin: Annotated[
        list[str] | None,
        typer.Option(metavar="PIECE=X,Y", help="Its pin goes through there, in mm.", show_default=False),
    ] = None,
    replacement: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PIECE.NAME=CUTOUT", help="Lay another cut-out in its place.", show_default=False
        ),
    ] = None,
    take: Annotated[
        list[str] | None, typer.Option(metavar="PIECE", help="Take it away.", show_default=False)
    ] = None,
    as_json: Json = False,
) -> None:
    """List the pieces of a character with their counts, begin one, or pin it otherwise.

    Like this:

        splitpin character exact-change cat

        splitpin character exact-change pair --new cat-head,cat-body --lay cat-body=0,-60
    """
    with guarded(folder, as_json=as_json):
        from splitpin.folder.load import load
        from splitpin.jobs import envelope as jobs

        if new is not None:
            jobs.begin(folder, name, {one: one for one in new.split(",")})
        changes: list[jobs.Change] = []
        changes += [jobs.add(*_parted("--add", one)) for one in add or ()]
        changes += [jobs.hang(*_parted("--on", one)) for one in on or ()]
        changes += [jobs.lay(*_placed("--lay", one)) for one in lay or ()]
        changes += [jobs.pin(*_placed("--pin", one)) for one in pin or ()]
        for one in replacement or ():
            whose, cutout = _parted("--replacement", one)
            piece, dot, shown = whose.partition(".")
            if not dot:
                raise FolderError("--replacement", repr(one[:100]), "PIECE.NAME=CUTOUT", "write it so")
            changes.append(jobs.replacement(piece, shown, cutout))
        changes += [jobs.take(one) for one in take or ()]
        if changes:
            jobs.change(folder, name, *changes)
        listed = jobs.envelope(load(folder), name)
        if as_json:
            say_json({"character": name, "pieces": [one._asdict() for one in listed]})
            return
        for line in listed:
            what = f"{line.piece}: {line.shows}" if line.shows else line.piece
            count = f"{line.wanted} and {line.spares} spare" if line.spares else f"{line.wanted}"
            size = f"{line.width_mm:.0f} × {line.height_mm:.0f} mm"
            out().print(printable(f"{count:<12} {size:>14}  {what}"), markup=False)
        total = sum(one.wanted + one.spares for one in listed)
        out().print(f"{total} cut-outs in the envelope", markup=False)


def _parted(option: str, text: str) -> tuple[str, str]:
    left, sign, right = text.partition("=")
    if not (left and sign and right):
        raise FolderError(option, repr(text[:100]), "two names with = between them", "write it so")
    return left, right


def _placed(option: str, text: str) -> tuple[str, tuple[float, float]]:
    piece, words = _parted(option, text)
    try:
        x, y = (float(word) for word in words.split(","))
    except ValueError:
        raise FolderError(option, repr(text[:100]), "PIECE=X,Y in millimetres", "write it so") from None
    return piece, (x, y)
