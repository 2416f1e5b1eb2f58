"""``splitpin kit``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import Again, Folder, Json
from splitpin.command.speak import guarded, out, printable, say_json
from splitpin.command.telling import telling


def kit(
    folder: Folder,
    scene: Annotated[
        list[str] | None, typer.Option("--scene", metavar="SCENE", help="Only this scene; may be said again.")
    ] = None,
    paper: Annotated[str, typer.Option("--paper", metavar="SIZE", help="A4, A3, Letter or Tabloid.")] = "A4",
    only: Annotated[
        list[str] | None, typer.Option("--only", metavar="PART", help="Only this part; may be said again.")
    ] = None,
    output: Annotated[Path | None, typer.Option("-o", metavar="FILE.pdf", help="Where the pages go.")] = None,
    measured: Annotated[
        float,
        typer.Option("--measured", metavar="MM", help="What the printed rule of 100 mm measured."),
    ] = 100.0,
    font: Annotated[
        Path | None, typer.Option("--font", metavar="FILE.ttf", help="A font for letters that ours has not.")
    ] = None,
    plotter: Annotated[
        bool,
        typer.Option("--plotter", help="Also write what a plotter cuts, an SVG for each sheet of pieces."),
    ] = False,
    count: Annotated[bool, typer.Option("--count", help="Only say how many pages there would be.")] = False,
    again: Again = False,
    as_json: Json = False,
) -> None:
    """Print the kit for a paper shoot: everything that goes on the table, at true scale.

    Like this:

        splitpin kit exact-change

        splitpin kit exact-change --scene 010-wall --paper Letter --only strips --only fans -o wall.pdf

    Print at 100 % and measure the rule on the first page; if it is not 100 mm, say --measured.
    """
    with guarded(folder, as_json=as_json), telling(quiet=as_json) as tell:
        from splitpin.jobs.kit import kit as print_kit

        done = print_kit(
            folder, scene or None, paper, only or None, output, measured=measured, font=font, plotter=plotter,
            again=again, count=count, progress=tell.frames, doing=tell.doing,
        )  # fmt: skip
        total = sum(done.pages.values())
        if as_json:
            file = None if done.file is None else str(done.file)
            say_json(
                {"file": file, "paper": done.stock, "total": total, "pages": dict(done.pages)}
                | {"notes": list(done.notes), "cost": done.cost._asdict()}
                | {"plotter": [str(one) for one in done.plotter]}
            )
            return
        parts = ", ".join(f"{name} {n}" for name, n in done.pages.items())
        out().print(f"{total} page{'' if total == 1 else 's'} of {done.stock}: {parts}", markup=False)
        card, paper_, area = done.cost
        cost = f"{card} sheets of card, {paper_} of paper: {area:.2f} m²"
        out().print(cost.replace("1 sheets", "1 sheet") if card == 1 else cost, markup=False)
        for note in done.notes:
            out().print(printable(note), style="yellow", markup=False)
        if done.file is not None:
            out().print(printable(f"printed in {done.file}"), markup=False)
        for one in done.plotter:
            out().print(printable(f"to cut: {one}"), markup=False)
