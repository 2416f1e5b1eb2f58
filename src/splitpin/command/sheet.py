"""``splitpin sheet``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import Folder, Json
from splitpin.command.speak import guarded, out, printable, say_json


def sheet(
    folder: Folder,
    scene: Annotated[
        str, typer.Argument(metavar="SCENE", help="A scene: the name of its document without .toml.")
    ],
    csv: Annotated[
        Path | None,
        typer.Option("--csv", metavar="FILE", help="Write the sheet as a table (CSV)."),
    ] = None,
    table: Annotated[
        Path | None,
        typer.Option("--in", metavar="FILE", help="Take in such a table: what was changed becomes touches."),
    ] = None,
    as_json: Json = False,
) -> None:
    """Show a scene's exposure sheet: one line an exposure.

    Like this:

        splitpin sheet exact-change 010-wall

        splitpin sheet exact-change 010-wall --csv wall.csv

        splitpin sheet exact-change 010-wall --in wall.csv
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.sheet import sheet_of, take_in, write_table

        if table is not None:
            count = take_in(folder, scene, table)
            if as_json:
                say_json({"touches": count})
            else:
                out().print(f"{count} {'touch' if count == 1 else 'touches'} added to {scene}", markup=False)
        if csv is not None:
            count = write_table(folder, scene, csv)
            if as_json:
                say_json({"file": str(csv), "exposures": count})
            else:
                out().print(printable(f"{count} exposures in {csv}"), markup=False)
        if table is None and csv is None:
            rows = sheet_of(folder, scene).sheet.rows
            if as_json:
                say_json(
                    {
                        "scene": scene,
                        "rows": [
                            {
                                "frame": r.frame,
                                "frames": r.frames,
                                "panel": r.panel,
                                "pieces": len(r.placed),
                                "sounds": list(r.sounds),
                                "note": r.note,
                            }
                            for r in rows
                        ],
                    }
                )
            else:
                console = out()
                console.print("frame  held  panel             pieces  sounds and notes", style="bold")
                for r in rows:
                    words = printable(" ".join([*r.sounds, r.note.replace("\n", " ")]))
                    line = f"{r.frame:>5}  {r.frames:>4}  {r.panel:<16}  {len(r.placed):>6}  {words}"
                    console.print(line.rstrip(), markup=False)
