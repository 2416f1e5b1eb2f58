"""``splitpin outline``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import Again, Json
from splitpin.command.speak import guarded, out, printable, say_json


def outline(
    piece: Annotated[Path, typer.Argument(metavar="PIECE.png", help="A cut-out.", show_default=False)],
    tolerance: Annotated[
        float, typer.Option("--tolerance", metavar="MM", help="How far the line may lie beside the edge.")
    ] = 0.1,
    margin: Annotated[
        float,
        typer.Option("--margin", metavar="MM", help="How far outside the edge it runs; below 0 inside it."),
    ] = 0.0,
    width: Annotated[
        float | None,
        typer.Option("--width", metavar="MM", help="How wide the picture is, where no document says it."),
    ] = None,
    svg: Annotated[
        Path | None, typer.Option("--svg", metavar="FILE", help="Write the line as a drawing at true size.")
    ] = None,
    again: Again = False,
    as_json: Json = False,
) -> None:
    """Find the line along which a cut-out is cut from paper: smooth curves, holes included.

    Like this:

        splitpin outline exact-change/cutouts/cat-head.png --svg cat-head.svg

        splitpin outline cat.png --width 62.5 --tolerance 0.2 --margin 2
    """
    with guarded(piece.parent, as_json=as_json):
        from splitpin.cutout.outline import svg_path
        from splitpin.jobs.outline import outline as draw

        found, size, notes = draw(piece, tolerance, margin, width, svg, again=again)
        if as_json:
            say_json(
                {
                    "size_mm": [round(v, 4) for v in size],
                    "box_mm": [round(v, 4) for v in found.box],
                    "path": svg_path(found),
                    "loops": [
                        {
                            "hole": loop.hole,
                            "curves": len(loop.curves),
                            "polygon": [[round(x, 4), round(y, 4)] for x, y in loop.polygon(tolerance / 4)],
                        }
                        for loop in found.loops
                    ],
                    "notes": list(notes),
                    "file": None if svg is None else str(svg),
                }
            )
            return
        holes = sum(loop.hole for loop in found.loops)
        curves = sum(len(loop.curves) for loop in found.loops)
        x0, y0, x1, y1 = found.box
        out().print(
            f"{x1 - x0:.1f} × {y1 - y0:.1f} mm: {len(found.loops) - holes} outer, {holes} holes,"
            f" {curves} curves",
            markup=False,
        )
        for note in notes:
            out().print(note, style="yellow", markup=False)
        if svg is not None:
            out().print(printable(f"drawn in {svg}"), markup=False)
