"""``splitpin letter``."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from splitpin.command.options import Again, Folder, Json, Seed
from splitpin.command.speak import guarded, mistakes_as_data, out, printable, say_json, tell_warnings


class Align(StrEnum):
    """Where shorter lines lie."""

    left = "left"
    centre = "centre"
    right = "right"


class Edge(StrEnum):
    """The edge of the paper."""

    straight = "straight"
    torn = "torn"


Colour = Annotated[str, typer.Option("--colour", metavar="#RRGGBB", help="The colour of the letters.")]
Font = Annotated[
    str | None,
    typer.Option(
        metavar="FILE", help="A font in the film folder, fonts/NAME.ttf; DejaVu Sans when left out."
    ),
]


def letter(
    folder: Folder,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The cut-out's name.", show_default=False)],
    text: Annotated[
        str,
        typer.Option("--text", metavar="WORDS", help="The words; \\n begins a new line.", show_default=False),
    ],
    size_mm: Annotated[
        float, typer.Option(metavar="MM", min=0.1, max=1000, help="How high its capitals are.")
    ] = 12.0,
    colour: Colour = "#2d2823",
    font: Font = None,
    align: Annotated[Align, typer.Option(help="Where shorter lines lie.")] = Align.centre,
    spacing: Annotated[
        float, typer.Option(metavar="N", min=0.5, max=5, help="From line to line, in sizes of the type.")
    ] = 1.25,
    widest_mm: Annotated[
        float | None, typer.Option(metavar="MM", min=1, max=100_000, help="Break lines wider than this.")
    ] = None,
    paper: Annotated[
        str | None, typer.Option(metavar="#RRGGBB", help="The paper they are on; none when left out.")
    ] = None,
    margin_mm: Annotated[
        float, typer.Option(metavar="MM", min=0, max=1000, help="Paper around the letters.")
    ] = 6.0,
    edge: Annotated[Edge, typer.Option(help="The edge of the paper.")] = Edge.straight,
    seed: Seed = 0,
    ppi: Annotated[float, typer.Option(metavar="N", min=10, max=2400, help="Pixels to an inch.")] = 300.0,
    again: Again = False,
    as_json: Json = False,
) -> None:
    """Make a cut-out of words. Its document keeps how, so that it can be changed and made again.

    Like this:

        splitpin letter hello sign --text "OPEN" --size-mm 8 --paper "#f4e9c8" --edge torn
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.letter import letter as letter_job
        from splitpin.jobs.letter import lettering

        recipe = lettering(
            text=text.replace("\\n", "\n"), size_mm=size_mm, colour=colour, font=font, align=align.value,
            spacing=spacing, widest_mm=widest_mm, paper=paper, margin_mm=margin_mm, edge=edge.value,
            seed=seed, ppi=ppi,
        )  # fmt: skip
        made = letter_job(folder, name, recipe, again=again)
        if as_json:
            say_json(
                {
                    "file": str(made.picture),
                    "recipe": str(made.recipe),
                    "width_mm": round(made.width_mm, 2),
                    "height_mm": round(made.height_mm, 2),
                    "lines": list(made.letters.lines),
                    "warnings": mistakes_as_data(made.warnings),
                }
            )
            return
        tell_warnings(made.warnings)
        size = f"{made.width_mm:.1f} × {made.height_mm:.1f} mm"
        count = len(made.letters.lines)
        lines = "1 line" if count == 1 else f"{count} lines"
        out().print(printable(f"{made.picture}  {size}, {lines}"), markup=False)
