"""``splitpin archive``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from splitpin.command.options import HERE, Json
from splitpin.command.speak import WRONG, guarded, out, printable, say_json
from splitpin.command.telling import telling


def archive(
    folder: Annotated[
        Path,
        typer.Argument(
            metavar="[FOLDER]",
            help="The film folder, here when left out; or an archive, to verify or restore.",
            show_default=False,
        ),
    ] = HERE,
    to: Annotated[
        Path | None,
        typer.Option("-o", "--out", metavar="NEW", help="The archive's folder.", show_default=False),
    ] = None,
    frames: Annotated[bool, typer.Option("--frames", help="Keep every frame as PNG too.")] = False,
    verify: Annotated[
        bool, typer.Option("--verify", help="Prove that an archive is whole; says which files are not.")
    ] = False,
    remake: Annotated[
        bool, typer.Option("--remake", help="With --verify: draw the film anew and compare every frame.")
    ] = False,
    restore: Annotated[
        Path | None,
        typer.Option(
            "--restore", metavar="NEW", help="Put the film folder of an archive there.", show_default=False
        ),
    ] = None,
    as_json: Json = False,
) -> None:
    """Keep a film for good, with a sum of every file and every frame; prove it; take it out again.

    Keep three copies, on two kinds of store, one of them in another place. The exit code is 2 when an archive
    is not whole.

    Like this:

        splitpin archive hello

        splitpin archive hello-archive --verify
    """
    stopped = "stopped; nothing half-written is left as an archive"
    with guarded(folder, as_json=as_json, stopped=stopped):
        from splitpin.jobs.output import refuse_both

        refuse_both("archive", {"--verify": verify or None, "--restore": restore, "--out": to})
        if restore is not None:
            from splitpin.jobs.restore import restore as take_out

            with telling(quiet=as_json) as told:
                take_out(folder, restore, told.doing)
            if as_json:
                say_json({"restored": str(restore)})
            else:
                out().print(printable(f"{restore}  is the film folder of {folder}"), markup=False)
        elif verify:
            _verify(folder, remake=remake, as_json=as_json)
        else:
            _archive(folder, to, frames=frames, as_json=as_json)


def _archive(folder: Path, to: Path | None, *, frames: bool, as_json: bool) -> None:
    from splitpin.jobs.archive import archive as keep

    with telling(quiet=as_json) as told:
        done = keep(folder, to, frames=frames, progress=told.frames, doing=told.doing)
    if as_json:
        say_json({**done._asdict(), "path": str(done.path)})
        return
    console = out()
    console.print(
        printable(f"{done.path}  {done.files} files, {done.bytes / 1e6:.1f} MB, {done.frames} frames"),
        markup=False,
    )
    console.print(f"its list of sums has the SHA-256 sum {done.sum}; write it on the box", markup=False)
    if done.left:
        console.print(
            f"the pictures of {', '.join(done.left)} are not in it: they are made again from the film",
            markup=False,
        )
    if done.unresolved:
        console.print(
            f"warning: {done.unresolved} pictures and sounds have unresolved rights: see data/rights.txt",
            style="yellow", markup=False,
        )  # fmt: skip


def _verify(folder: Path, *, remake: bool, as_json: bool) -> None:
    from splitpin.jobs.restore import remade_otherwise
    from splitpin.jobs.restore import verify as prove

    spoilt = prove(folder)
    with telling(quiet=as_json) as told:
        otherwise = remade_otherwise(folder, told.frames) if remake and not spoilt else []
    whole = not spoilt and not otherwise
    if as_json:
        say_json({"whole": whole, "spoilt": [s._asdict() for s in spoilt], "remade_otherwise": otherwise})
    else:
        console = out()
        for one in spoilt:
            console.print(printable(f"{one.file}: {one.found}"), style="bold red", markup=False)
        for line in otherwise:
            console.print(
                f"{line}: drawn otherwise than when it was archived", style="bold red", markup=False
            )
        if whole:
            same = "; drawn anew, every frame is the same" if remake else ""
            console.print(f"{printable(str(folder))}  is whole{same}", markup=False)
        else:
            console.print("take what is spoilt from another copy", markup=False)
    if not whole:
        raise typer.Exit(WRONG)
