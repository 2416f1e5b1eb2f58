"""The entry of the command line: which commands there are, and how the program ends."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Annotated

import typer

from splitpin import __version__
from splitpin.command.bring import bring
from splitpin.command.check import check
from splitpin.command.credits import credits as credits_of
from splitpin.command.cut import cut
from splitpin.command.fit import fit
from splitpin.command.make import make
from splitpin.command.mend import mend
from splitpin.command.new import new
from splitpin.command.outline import outline
from splitpin.command.reference import reference
from splitpin.command.sheet import sheet
from splitpin.command.split import split

COMMANDS: tuple[Callable[..., None], ...] = (
    new,
    bring,
    fit,
    cut,
    split,
    mend,
    outline,
    check,
    make,
    sheet,
    credits_of,
    reference,
)
"""Every command, in the order of the help."""


def _version(wanted: bool) -> None:
    if wanted:
        sys.stdout.write(f"splitpin {__version__}\n")
        raise typer.Exit


def _studio(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Say which version this is.")
    ] = False,
) -> None:
    """A cut-out film studio in a folder: found pictures and a storyboard in, a finished film with sound out.

    Begin with: splitpin new hello, then: splitpin make hello
    """


def build() -> typer.Typer:
    """The program with all its commands."""
    app = typer.Typer(
        name="splitpin",
        add_completion=False,
        no_args_is_help=True,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"]},
    )
    app.callback()(_studio)
    for command in COMMANDS:
        app.command()(command)
    return app


def run() -> None:
    """Run the command that was asked for and end the program with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        # A code page that lacks a character must not end the program.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    build()()
