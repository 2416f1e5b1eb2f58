"""``splitpin screen``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from splitpin.command.options import Json
from splitpin.command.speak import guarded, out, printable, say_json
from splitpin.command.telling import telling

if TYPE_CHECKING:
    from splitpin.jobs.screen import Screened

FOUND = 3
"""Exit code when there are flashes."""


def screen(
    movie: Annotated[Path, typer.Argument(metavar="MOVIE", help="Any film file.")],
    pictures: Annotated[
        Path | None,
        typer.Option(
            "--pictures",
            metavar="DIR",
            help="Write a plot, and of each span of flashes the worst frame and where in it it flashes.",
        ),
    ] = None,
    as_json: Json = False,
) -> None:
    """Screen a film for flashes that can bring on seizures. This is guidance, never a certificate.

    By WCAG 2.2 (2.3.1) and ITU-R BT.1702: more than three flashes within a second, light or red, over more
    than a quarter of a field. The exit code is 3 when there are such flashes.

    Like this:

        splitpin screen hello/made/hello.mp4

        splitpin screen hello/made/hello.mp4 --pictures flashes --json
    """
    with guarded(movie, as_json=as_json):
        from splitpin.jobs.screen import screen as screen_film
        from splitpin.jobs.screen import screened_as_data, write_screened

        with telling(quiet=as_json) as told:
            found = screen_film(movie, told.frames)
        files = write_screened(found, movie.name, pictures) if pictures is not None else ()
        if as_json:
            say_json(screened_as_data(found) | {"files": [str(file) for file in files]})
        else:
            _tell(found)
            for file in files:
                out().print(printable(str(file)), markup=False)
    if not found.passed:
        raise typer.Exit(FOUND)


def _tell(found: Screened) -> None:
    from splitpin.jobs.screen import NOTICE, told_spans

    console = out()
    verdict = found.verdict
    for line in told_spans(verdict.spans):
        console.print(line, style="bold yellow", markup=False)
    for line in found.advice:
        console.print(f"    do  {line}", markup=False)
    most = max(float(counts.max(initial=0)) / 2 for counts in verdict.flashes.values())
    word = "nothing found" if found.passed else f"{len(verdict.spans)} found"
    console.print(
        f"{word} in {verdict.frames} frames, {float(verdict.seconds):.2f} s; at most {most:g} flashes in a "
        f"second over more than a quarter of a field. This is {NOTICE}.",
        markup=False,
    )
