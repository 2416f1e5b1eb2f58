"""``splitpin check``."""

from __future__ import annotations

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
from splitpin.folder.mistake import Mistake


def check(folder: Here = HERE, as_json: Json = False) -> None:
    """Say everything that is wrong with a film folder, all at once.

    Mistakes must be put right before the film can be made; warnings need not. The exit code is 0 without
    mistakes, 2 with.

    Like this:

        splitpin check hello

        splitpin check hello --json
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.alike import grouped
        from splitpin.jobs.check import check as look_through

        found = look_through(folder)
        if as_json:
            say_json(
                {"mistakes": mistakes_as_data(found.mistakes), "warnings": mistakes_as_data(found.warnings)}
            )
        else:
            tell_mistakes(folder, found.mistakes, "bold red")
            if found.warnings:
                out().print("\nwarnings" if found.mistakes else "warnings", style="bold")
                alone, alike = grouped(found.warnings)
                tell_mistakes(folder, alone, "yellow")
                for group in alike:
                    _tell_alike(group)
            out().print(
                f"{_counted(len(found.mistakes), 'mistake')}, {_counted(len(found.warnings), 'warning')}"
            )
        raise typer.Exit(WRONG if found.mistakes else DONE)


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
