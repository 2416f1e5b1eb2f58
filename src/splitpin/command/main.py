"""The entry of the command line: which commands there are, and how the program ends."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from contextlib import suppress
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from splitpin import __version__
from splitpin.command.archive import archive
from splitpin.command.beats import beats
from splitpin.command.bench import bench
from splitpin.command.board import board
from splitpin.command.bring import bring
from splitpin.command.captions import captions
from splitpin.command.character import character
from splitpin.command.check import check
from splitpin.command.credits import credits as credits_of
from splitpin.command.cue import cue
from splitpin.command.cut import cut
from splitpin.command.effect import effect
from splitpin.command.fit import fit
from splitpin.command.hours import hours
from splitpin.command.joints import joints
from splitpin.command.kit import kit
from splitpin.command.lay import lay
from splitpin.command.letter import letter
from splitpin.command.make import make
from splitpin.command.mend import mend
from splitpin.command.new import new
from splitpin.command.outline import outline
from splitpin.command.pose import pose
from splitpin.command.read import read
from splitpin.command.record import record
from splitpin.command.reference import reference
from splitpin.command.screen import screen
from splitpin.command.sheet import sheet
from splitpin.command.speak import DONE, FAILED, INTERRUPTED, WRONG, UnsaidError, err, say_mistake
from splitpin.command.split import split
from splitpin.command.title import title
from splitpin.command.wanted import wanted

COMMANDS: tuple[Callable[..., None], ...] = (
    new,
    bench,
    bring,
    fit,
    cut,
    split,
    mend,
    outline,
    character,
    joints,
    effect,
    beats,
    cue,
    record,
    read,
    board,
    check,
    make,
    screen,
    sheet,
    pose,
    lay,
    credits_of,
    letter,
    title,
    captions,
    archive,
    hours,
    kit,
    reference,
)
"""Every command, in the order of the help."""


class _Program(TyperGroup):
    """The program. Asked for JSON, it says in JSON, too, what is wrong with the words it was given."""

    def invoke(self, ctx: Any) -> Any:
        try:
            return super().invoke(ctx)
        except Exception as wrong:
            param, where = getattr(wrong, "param", None), getattr(wrong, "ctx", None)
            command = next((c for c in COMMANDS if c.__name__ == getattr(where, "info_name", None)), None)
            if hasattr(wrong, "message") and param is not None and command is not None:
                words = wanted(command, str(param.name))
                # A value that is missing altogether has no message yet, and is told well.
                if words is not None and wrong.message:
                    wrong.message = f"it takes {words}"
            raise

    def main(self, args: Any = None, *names: Any, **settings: Any) -> Any:
        words = sys.argv[1:] if args is None else args
        if "--json" not in words or settings.get("standalone_mode") is False:
            return super().main(args, *names, **settings)
        try:
            code = super().main(args, *names, **{**settings, "standalone_mode": False})
        except typer.Abort:
            code = FAILED
        except Exception as wrong:
            # Known by what they can do: which library they come from differs between versions.
            message, context = getattr(wrong, "format_message", None), getattr(wrong, "ctx", None)
            if message is None:
                raise
            where = context.command_path if context is not None else "splitpin"
            say_mistake(where, message(), "words as its help tells", f"see: {where} --help")
            code = WRONG
        sys.exit(code if isinstance(code, int) else DONE)


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
        cls=_Program,
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
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # nobody listens
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115, PTH123
        stream = getattr(sys, name)
        # A code page that lacks a character must not end the program.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    code = _code()
    if code == INTERRUPTED:
        # Whoever still draws one picture would be waited for; what is unfinished is swept away next time.
        os._exit(code)
    sys.exit(code)


def _code() -> int:
    """The exit code, once all that was said is out."""
    code: object
    try:
        build()()
        code = DONE
    except SystemExit as end:
        code = end.code
    except (UnsaidError, OSError) as problem:
        return _unheard(problem)
    except KeyboardInterrupt:
        code = INTERRUPTED
    try:
        sys.stdout.flush()
    except OSError as problem:
        return _unheard(problem)
    return code if isinstance(code, int) else FAILED if code else DONE


def _unheard(problem: Exception) -> int:
    # What could not be said is still held by the stream, which would try again at the very end.
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    cause = problem.__cause__ if isinstance(problem, UnsaidError) else problem
    if not isinstance(cause, BrokenPipeError):  # who closes a pipe has read enough
        why = getattr(cause, "strerror", None) or type(cause).__name__
        err().print(f"the result cannot be written out ({why}); look whether there is room for it")
    return FAILED
