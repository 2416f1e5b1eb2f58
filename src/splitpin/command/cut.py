"""``splitpin cut``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import (
    Again,
    FromRecipe,
    Into,
    Json,
    Named,
    Picture,
    Ppi,
    To,
    refuse_beside_recipe,
)
from splitpin.command.speak import (
    guarded,
    mistakes_as_data,
    out,
    printable,
    say_json,
    tell_assumed_ppi,
    tell_warnings,
)


def cut(
    context: typer.Context,
    picture: Picture = None,
    loop: Annotated[
        Path | None,
        typer.Option(
            metavar="LOOP.json", help=r"Rough points around the thing, [\[x, y], …].", show_default=False
        ),
    ] = None,
    box: Annotated[
        str | None, typer.Option(metavar="X,Y,W,H", help="Instead of a loop: a box.", show_default=False)
    ] = None,
    keep: Annotated[
        Path | None, typer.Option(metavar="S.json", help="Strokes over what to keep.", show_default=False)
    ] = None,
    drop: Annotated[
        Path | None, typer.Option(metavar="S.json", help="Strokes over what to drop.", show_default=False)
    ] = None,
    edge: Annotated[
        str | None,
        typer.Option(
            metavar="knife|soft",
            help="A crisp edge, or a true one; soft, but for --knife.",
            show_default=False,
        ),
    ] = None,
    knife: Annotated[
        Path | None,
        typer.Option(metavar="K.json", help="Points along the edge for the knife.", show_default=False),
    ] = None,
    as_drawn: Annotated[
        bool, typer.Option("--as-drawn", help="The knife goes straight along its points, or the loop.")
    ] = False,
    ink: Annotated[float, typer.Option(metavar="MM", help="Blacken the cut edge by this width.")] = 0.0,
    ppi: Ppi = None,
    to: To = None,
    into: Into = None,
    name: Named = None,
    recipe: FromRecipe = None,
    again: Again = False,
    as_json: Json = False,
) -> None:
    """Cut a thing out of a picture: a rough loop around it is enough, strokes correct.

    The piece is a transparent PNG without the old background at its edge; its recipe beside it makes the same
    piece again, and may be edited.

    Like this:

        splitpin cut page.jpg --loop cat.json -o cat.png

        splitpin cut page --box 120,80,600,700 --edge knife --ink 0.3 --into hello --name cat

        splitpin cut --recipe hello/cutouts/cat.toml
    """
    with guarded(into or Path(), as_json=as_json):
        from splitpin.cutout.mistake import CutError
        from splitpin.jobs import cut as job
        from splitpin.jobs.asked import asked
        from splitpin.jobs.output import refuse_both
        from splitpin.jobs.recut import recut

        refuse_beside_recipe(context, recipe)
        refuse_both("cut", {"-o": to, "--into": into})
        refuse_both("cut", {"-o": to, "--name": name})
        refuse_both("cut", {"--loop": loop, "--box": box})
        if recipe is not None:
            made = recut(recipe, to, again=again)
        else:
            if picture is None:
                raise CutError("cut", "no picture", "a picture, or --recipe", "see: splitpin cut --help")
            wanted = asked(
                loop=loop, box=box, keep=keep, drop=drop, edge=edge, knife=knife, ink=ink, ppi=ppi,
                as_drawn=as_drawn,
            )  # fmt: skip
            if into is not None:
                made = job.cut_into(
                    into,
                    job.named(into, picture),
                    wanted,
                    picture.stem if name is None else name,
                    again=again,
                )
            elif to is not None:
                made = job.cut(picture, wanted, to, again=again)
            else:
                raise CutError("cut", "nowhere to put the piece", "-o or --into", "see: splitpin cut --help")
        if as_json:
            say_json(
                {
                    "box": list(made.piece.box),
                    "holes": made.holes,
                    "outline": [loop.round(2).tolist() for loop in made.piece.outline],
                    "files": [str(made.picture), str(made.recipe)],
                    "ppi": made.ppi,
                    "ppi_assumed": made.ppi_assumed,
                    "warnings": mistakes_as_data(made.warnings),
                }
            )
            return
        x, y, w, h = made.piece.box
        out().print(printable(f"{made.picture}: {w} × {h} pixels, from {x}, {y}"), markup=False)
        out().print(printable(f"{made.recipe}: its recipe"), markup=False)
        if holes := made.holes:
            count = "1 hole" if holes == 1 else f"{holes} holes"
            text = f"{count} in it: where one is none, a --keep stroke over it closes it"
            out().print(printable(text), markup=False)
        tell_assumed_ppi(made.ppi, assumed=made.ppi_assumed)
        tell_warnings(made.warnings)
