"""``splitpin make``."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated

import typer

from splitpin.command.options import Folder, Json
from splitpin.command.speak import (
    WRONG,
    err,
    guarded,
    mistakes_as_data,
    out,
    printable,
    say_json,
    tell_mistakes,
)

if TYPE_CHECKING:
    from splitpin.jobs.make import Made
    from splitpin.jobs.shop import Progress


def make(
    folder: Folder,
    outlet: Annotated[
        list[str] | None,
        typer.Option("--outlet", metavar="NAME", help="An outlet in film.toml; all when left out."),
    ] = None,
    scene: Annotated[
        list[str] | None,
        typer.Option(
            "--scene", metavar="NAME", help="Only this scene, as a film of its own; may be repeated."
        ),
    ] = None,
    workers: Annotated[
        int | None,
        typer.Option(min=1, max=256, help="How much is done at a time; one for each core when left out."),
    ] = None,
    as_json: Json = False,
) -> None:
    """Make the film. It is in made/ when this is done.

    Only what changed since the last time is made again. Ctrl-C leaves what is finished, and the next run goes
    on from there. The exit code is 2 while the folder has mistakes.

    Like this:

        splitpin make hello

        splitpin make hello --scene 010-first --json
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.make import make as make_film
        from splitpin.jobs.ready import RefusedError

        try:
            with _progress(quiet=as_json) as progress:
                made = make_film(folder, outlet or None, scene or None, workers, progress)
        except RefusedError as refused:
            if as_json:
                say_json({"mistakes": mistakes_as_data(refused.mistakes)})
            else:
                tell_mistakes(folder, refused.mistakes, "bold red")
            raise typer.Exit(WRONG) from None
        if as_json:
            say_json(_as_data(made))
        else:
            _tell(made)


@contextmanager
def _progress(*, quiet: bool) -> Iterator[Progress | None]:
    """A bar with the time left on a terminal, a line at every tenth elsewhere; nothing for machines."""
    console = err()
    if quiet:
        yield None
        return
    if not console.is_terminal:
        said = -1

        def line(done: int, total: int) -> None:
            nonlocal said
            tenth = 10 * done // total if total else 10
            if tenth > said:
                said = tenth
                console.print(f"{done} of {total} frames" if total else "nothing to draw again")

        yield line
        return

    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("reading", total=None)

        def move(done: int, total: int) -> None:
            # The first frame of all waits for what draws to be compiled, once on each computer.
            bar.update(
                task,
                completed=done,
                total=total,
                description="frames" if done or not total else "getting ready",
            )

        yield move


def _as_data(made: Made) -> dict[str, object]:
    return {
        "files": [str(file) for file in made.files],
        "frames": made.frames,
        "seconds": made.seconds,
        "loudness": _number(made.loudness),
        "true_peak": _number(made.true_peak),
        "outlets": [
            {
                "name": o.name,
                "files": [str(file) for file in o.files],
                "loudness": _number(o.loudness),
                "true_peak": _number(o.true_peak),
            }
            for o in made.outlets
        ],
        "segments": {"made": made.counts.segments_made, "reused": made.counts.segments_reused},
        "warnings": list(made.warnings),
    }


def _tell(made: Made) -> None:
    console = out()
    for warning in made.warnings:
        console.print(printable(f"warning: {warning}"), style="yellow", markup=False)
    for outlet in made.outlets:
        sound = f"{outlet.loudness:.1f} LUFS" if math.isfinite(outlet.loudness) else "no sound"
        where = outlet.files[0]
        text = f"{where}  {made.frames} frames, {made.seconds:.2f} s, {sound}"
        console.print(printable(text), markup=False)


def _number(value: float) -> float | None:
    # JSON knows no infinity: silence has no loudness.
    return round(value, 3) if math.isfinite(value) else None
