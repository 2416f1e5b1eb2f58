"""``splitpin mend``."""

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
    Seed,
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


def mend(
    context: typer.Context,
    picture: Picture = None,
    hole: Annotated[
        Path | None,
        typer.Option(
            metavar="MASK.png", help="The hole, white on black: lighter than half counts.", show_default=False
        ),
    ] = None,
    piece: Annotated[
        Path | None,
        typer.Option(metavar="RECIPE.toml", help="Or the piece that was cut out.", show_default=False),
    ] = None,
    to: To = None,
    seed: Seed = 0,
    grow: Annotated[
        int | None,
        typer.Option(
            metavar="PX",
            min=0,
            max=1000,
            help="Widen the hole; by 3 or more around a piece if not said.",
            show_default=False,
        ),
    ] = None,
    patch: Annotated[
        Path | None,
        typer.Option(
            metavar="PATCH.png",
            help="Also the mended part alone, at true size, to print.",
            show_default=False,
        ),
    ] = None,
    underlap: Annotated[
        float, typer.Option(metavar="MM", min=0, max=100, help="How far the patch reaches under the rest.")
    ] = 3.0,
    ppi: Ppi = None,
    into: Into = None,
    name: Named = None,
    recipe: FromRecipe = None,
    again: Again = False,
    as_json: Json = False,
) -> None:
    """Fill the hole that a piece leaves, or a scratch, with what the rest of the picture is made of.

    Nothing outside the hole changes: 16 bits stay 16, what is clear stays clear. What is filled is opaque.
    The recipe beside the result makes it again.

    Like this:

        splitpin mend page.jpg --hole scratches.png -o clean.png

        splitpin mend page.jpg --piece cat.toml -o wall.png --patch patch.png --ppi 600

        splitpin mend page --piece hello/cutouts/cat.toml --into hello --name wall
    """
    with guarded(into or Path(), as_json=as_json):
        from splitpin.cutout.mistake import CutError
        from splitpin.jobs import mend as job
        from splitpin.jobs.cut import named
        from splitpin.jobs.hole import Mending
        from splitpin.jobs.output import refuse_both
        from splitpin.jobs.printed import Printed

        refuse_beside_recipe(context, recipe)
        refuse_both("mend", {"-o": to, "--into": into})
        refuse_both("mend", {"-o": to, "--name": name})
        if recipe is not None:
            done = job.mend_again(recipe, to, again=again)
        else:
            if picture is None:
                raise CutError("mend", "no picture", "a picture, or --recipe", "see: splitpin mend --help")
            mending = Mending(hole, piece, grow, seed)
            printed = None if patch is None else Printed(patch, underlap)
            if into is not None:
                known = named(into, picture)
                called = f"{known}-clean" if name is None else name
                done = job.mend_into(into, known, called, mending, printed, ppi=ppi, again=again)
            elif to is not None:
                done = job.mend_file(picture, to, mending, printed, ppi=ppi, again=again)
            else:
                raise CutError(
                    "mend", "nowhere to put the picture", "-o or --into", "see: splitpin mend --help"
                )
        if as_json:
            say_json(
                {
                    "file": str(done.picture),
                    "size": [done.width, done.height],
                    "filled": done.pixels,
                    "recipe": str(done.recipe),
                    "ppi": done.ppi,
                    "ppi_assumed": done.ppi_assumed,
                    "patch": None if done.patch is None else str(done.patch),
                    "patch_box": None if done.patch_box is None else list(done.patch_box),
                    "patch_mm": None if done.patch_mm is None else [round(v, 2) for v in done.patch_mm],
                    "warnings": mistakes_as_data(done.warnings),
                }
            )
            return
        share = 100 * done.pixels / (done.width * done.height)
        out().print(printable(f"{done.picture}: {done.pixels} pixels filled ({share:.1f} %)"), markup=False)
        out().print(printable(f"{done.recipe}: its recipe"), markup=False)
        if done.patch is not None and done.patch_mm is not None:
            size = f"{done.patch_mm[0]:.1f} × {done.patch_mm[1]:.1f} mm"
            out().print(printable(f"{done.patch}: {size} on paper"), markup=False)
        tell_assumed_ppi(done.ppi, assumed=done.ppi_assumed)
        tell_warnings(done.warnings)
