"""``splitpin credits``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import HERE, Here, Json
from splitpin.command.speak import guarded, out, printable, say_json


def credits(  # noqa: A001 (the command is called so)
    folder: Here = HERE,
    to: Annotated[
        Path | None, typer.Option("-o", "--out", metavar="FILE", help="Write the roll as text.")
    ] = None,
    record: Annotated[
        bool, typer.Option("--record", help="File by file, terms as noted: for an adviser, not an audience.")
    ] = False,
    again: Annotated[bool, typer.Option("--again", help="Write over a file of that name.")] = False,
    as_json: Json = False,
) -> None:
    """Say whose pictures and sounds are seen and heard in the film, and what is unresolved.

    A record for a qualified adviser, not advice.

    Like this:

        splitpin credits hello

        splitpin credits hello --record -o rights.txt
    """
    with guarded(folder, as_json=as_json):
        from splitpin.folder.save import write_whole
        from splitpin.jobs.credits import credits_of
        from splitpin.jobs.output import refuse_output

        if to is not None:
            refuse_output(to, [".txt", ".md"], again=again)
        found = credits_of(folder)
        text = found.record if record else found.roll
        if to is not None:
            write_whole(to, text.encode("utf-8"))
        if as_json:
            say_json(
                {
                    "unresolved": [c._asdict() for c in found.unresolved],
                    "credits": [c._asdict() for c in found.credits],
                    "own": list(found.own),
                    "roll": found.roll,
                    "record": found.record,
                }
            )
            return
        console = out()
        for c in found.unresolved:
            where = ", ".join(c.scenes) or "the whole film"
            console.print(printable(f"{c.kind} {c.name} ({where})"), style="bold yellow", markup=False)
            for reason in c.unresolved:
                console.print(printable(f"    not known  {reason}"), markup=False)
        count = len(found.unresolved)
        console.print(f"{count or 'nothing'} unresolved\n", style="bold")
        console.print("\n".join(printable(line) for line in text.split("\n")), markup=False)
