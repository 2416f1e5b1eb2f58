"""``splitpin check``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from splitpin.command.options import HERE, Here, Json
from splitpin.command.speak import (
    DONE,
    WRONG,
    guarded,
    mistakes_as_data,
    out,
    printable,
    say_json,
    tell_mistakes,
)
from splitpin.command.telling import telling
from splitpin.folder.mistake import Mistake

if TYPE_CHECKING:
    from collections.abc import Sequence

    from splitpin.jobs.forecast import Ahead


def check(
    folder: Here = HERE,
    ahead: Annotated[
        bool, typer.Option("--ahead", help="Say too what lies ahead on the table, before it is shot.")
    ] = False,
    pictures: Annotated[
        Path | None,
        typer.Option(
            metavar="DIR",
            help="A new folder for pictures of what lies ahead, ringed, and of warnings.",
            show_default=False,
        ),
    ] = None,
    as_json: Json = False,
) -> None:
    """Say everything that is wrong with a film folder, all at once.

    Mistakes must be put right before the film can be made; warnings need not, nor what lies ahead. The exit
    code is 0 without mistakes, 2 with.

    Like this:

        splitpin check hello

        splitpin check hello --ahead --pictures ahead

        splitpin check hello --json
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.alike import grouped
        from splitpin.jobs.check import check as look_through

        if pictures is not None:
            from splitpin.jobs.ahead_pictures import refuse_folder

            refuse_folder(pictures)
        found = look_through(folder)
        told: Sequence[Ahead] = ()
        files: Sequence[Path] = ()
        if ahead or pictures is not None:
            from splitpin.jobs.ahead_pictures import write_pictures
            from splitpin.jobs.forecast import look_ahead

            with telling(quiet=as_json) as tell:
                told = look_ahead(found, tell.thing)
            files = write_pictures(found, told, pictures) if pictures is not None else ()
        if as_json:
            says: dict[str, Any] = {
                "mistakes": mistakes_as_data(found.mistakes),
                "warnings": mistakes_as_data(found.warnings),
            }
            if ahead or pictures is not None:
                drawn: list[str | None] = [str(file) for file in files[: len(told)]] or [None] * len(told)
                says["ahead"] = [one.as_data() | {"picture": f} for one, f in zip(told, drawn, strict=True)]
            say_json(says)
        else:
            tell_mistakes(folder, found.mistakes, "bold red")
            if found.warnings:
                out().print("\nwarnings" if found.mistakes else "warnings", style="bold")
                alone, alike = grouped(found.warnings)
                tell_mistakes(folder, alone, "yellow")
                for group in alike:
                    _tell_alike(group)
            if ahead or pictures is not None:
                _tell_ahead(told, looked=not found.mistakes)
            for file in files:
                out().print(printable(str(file)), markup=False)
            out().print(
                f"{_counted(len(found.mistakes), 'mistake')}, {_counted(len(found.warnings), 'warning')}"
            )
        raise typer.Exit(WRONG if found.mistakes else DONE)


def _tell_ahead(told: Sequence[Ahead], *, looked: bool) -> None:
    console = out()
    console.print("\nahead of you", style="bold")
    if not looked:
        console.print("    nothing can be seen of it before the mistakes are put right")
    elif not told:
        console.print("    nothing that need be done otherwise")
    for one, _ in told:
        console.print(printable(f"{one.scene}, frame {one.frame}: {one.kind}"), style="bold", markup=False)
        for label, words in (("found", one.found), ("expected", one.expected), ("do", one.remedy)):
            console.print(printable(f"    {label:<9}{words}"), markup=False)


def _tell_alike(group: tuple[Mistake, ...]) -> None:
    from splitpin.jobs.alike import files_of

    console = out()
    console.print(f"{len(group)} files", style="bold")
    first = group[0]
    for label, words in (
        ("found", first.found),
        ("in", files_of(group)),
        ("expected", first.expected),
        ("do", first.remedy),
    ):
        console.print(printable(f"    {label:<9}{words}"), markup=False)


def _counted(count: int, what: str) -> str:
    return f"{count or 'no'} {what}{'' if count == 1 else 's'}"
