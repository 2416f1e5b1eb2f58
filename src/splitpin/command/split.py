"""``splitpin split``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import Again, Folder, Json, Seed
from splitpin.command.speak import guarded, mistakes_as_data, out, printable, say_json, tell_warnings


def split(
    folder: Folder,
    cutout: Annotated[
        str, typer.Argument(metavar="CUTOUT", help="A cut-out: the name of its picture without .png.")
    ],
    lines: Annotated[
        Path,
        typer.Option(
            "--lines",
            metavar="LINES.json",
            help=r"Lines across the joints, [[\[x, y], …], …] in the cut-out's pixels.",
            show_default=False,
        ),
    ],
    names: Annotated[
        str,
        typer.Option(
            "--names",
            metavar="A,B,…",
            help="The pieces: the largest, then the one beyond each line.",
            show_default=False,
        ),
    ],
    degrees: Annotated[
        float, typer.Option("--range", metavar="DEG", help="How far each joint turns, either way.")
    ] = 60.0,
    under: Annotated[
        str, typer.Option("--under", metavar="B,…", help="Pieces that lie under what they hang on.")
    ] = "",
    drop: Annotated[
        str, typer.Option("--drop", metavar="B,…", help="Pieces that are pulled down, as a jaw is.")
    ] = "",
    as_drawn: Annotated[
        bool, typer.Option("--as-drawn", help="Leave lines where they are, across a flare, too.")
    ] = False,
    character: Annotated[
        str | None,
        typer.Option("--character", metavar="NAME", help="The character's name, if not the cut-out's."),
    ] = None,
    seed: Seed = 0,
    again: Again = False,
    as_json: Json = False,
) -> None:
    """Split a cut-out into the pieces of a character, with an overlap at each joint.

    No gap opens while a joint turns: what is hidden under it is grown from the piece's own texture. A jaw
    that drops gets the black of a mouth behind it. The character is written with its pins, its stacking and
    its limits.

    Like this:

        splitpin split exact-change cat --lines joints.json --names body,head,tail --range 45
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.split import read_lines
        from splitpin.jobs.split import split as part

        done = part(
            folder,
            cutout,
            read_lines(lines),
            _words(names),
            degrees=degrees,
            under=_words(under),
            drop=_words(drop),
            character=character,
            as_drawn=as_drawn,
            seed=seed,
            again=again,
        )
        if as_json:
            say_json(
                {
                    "character": done.character,
                    "order": list(done.parts.order),
                    "pieces": [
                        {
                            "name": p.name,
                            "cutout": done.cutouts[p.name],
                            "box": list(p.box),
                            "on": p.holder,
                            "pin": None if p.pin is None else [round(v, 3) for v in p.pin],
                            "overlap": round(p.radius, 3),
                        }
                        for p in done.parts.parts
                    ],
                    "warnings": mistakes_as_data(done.warnings),
                }
            )
            return
        for p in done.parts.parts:
            hung = "" if p.holder is None else f" on {p.holder}"
            out().print(
                printable(f"{done.cutouts[p.name]}: {p.box[2]} × {p.box[3]} pixels{hung}"), markup=False
            )
        out().print(
            printable(f"the character {done.character} in characters/{done.character}.toml"), markup=False
        )
        tell_warnings(done.warnings)


def _words(text: str) -> list[str]:
    return [word.strip() for word in text.split(",") if word.strip()]
