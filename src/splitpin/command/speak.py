"""Everything the command line says: results, mistakes, trouble."""

from __future__ import annotations

import json
import platform
import re
import sys
import tempfile
import traceback
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from itertools import groupby
from pathlib import Path
from typing import Any, Protocol, TextIO, cast, runtime_checkable

import typer
from rich.console import Console
from rich.text import Text

from splitpin import __version__
from splitpin.folder.mistake import Mistake

DONE, FAILED, WRONG, INTERRUPTED = 0, 1, 2, 130


@runtime_checkable
class Explained(Protocol):
    """An error that says everything a person needs."""

    where: str
    found: str
    expected: str
    remedy: str


@runtime_checkable
class Refused(Protocol):
    """An error that is the mistakes of a film folder."""

    mistakes: tuple[Mistake, ...]


class UnsaidError(Exception):
    """The result could not be written out: a full disk, a reader who has left."""


class _Stdout:
    """Standard output, whose trouble is told from that of any other file."""

    def write(self, text: str) -> int:
        try:
            return sys.stdout.write(text)
        except OSError as e:
            raise UnsaidError from e

    def flush(self) -> None:
        try:
            sys.stdout.flush()
        except OSError as e:
            raise UnsaidError from e

    def __getattr__(self, name: str) -> Any:
        return getattr(sys.stdout, name)


def out() -> Console:
    """Where results go."""
    return Console(file=cast(TextIO, _Stdout()), highlight=False, soft_wrap=True)


def err() -> Console:
    """Where mistakes in using a command go."""
    return Console(file=sys.stderr, highlight=False, soft_wrap=True)


def say_json(value: object) -> None:
    """One line of JSON in plain ASCII, which every terminal and code page carries."""
    _Stdout().write(json.dumps(value, ensure_ascii=True) + "\n")


def say_mistake(where: str, found: str, expected: str, remedy: str) -> None:
    """One thing that is wrong, in JSON; whatever a command fails of is said in this shape."""
    say_json({"mistakes": mistakes_as_data((Mistake(where, None, found, expected, remedy),)), "warnings": []})


def printable(text: str) -> str:
    """Text without characters that steer a terminal."""
    return "".join(c if c.isprintable() else "\ufffd" for c in text)


def quoted(path: Path) -> str:
    """A path as it can be typed into a command line, on every system.

    >>> quoted(Path("my film"))
    '"my film"'
    """
    text = str(path)
    return text if re.fullmatch(r"[\w./\\:~+@%,=-]+", text) else f'"{text}"'


def mistakes_as_data(mistakes: tuple[Mistake, ...]) -> list[Mapping[str, str | int | None]]:
    """Mistakes for JSON."""
    return [m._asdict() for m in mistakes]


def tell_mistakes(root: Path, mistakes: tuple[Mistake, ...], style: str) -> None:
    """Mistakes by file, each with the line it stands on."""
    console = out()
    for file, group in groupby(mistakes, key=lambda m: m.file):
        console.print(Text(printable(file), style="bold"))
        lines = _lines(root / file)
        for m in group:
            if m.line is not None:
                shown = printable(lines[m.line - 1].strip()) if m.line <= len(lines) else ""
                console.print(Text.assemble((f"  line {m.line}", style), f"  {shown[:100]}"))
            for label, words in (("found", m.found), ("expected", m.expected), ("do", m.remedy)):
                console.print(Text.assemble((f"    {label:<9}", "dim"), printable(words)))


def tell_warnings(warnings: tuple[Mistake, ...]) -> None:
    """What a person should know though all was done; nothing where there is none."""
    if warnings:
        out().print("\nwarnings", style="bold")
        tell_mistakes(Path(), warnings, "yellow")


def tell_assumed_ppi(ppi: float, *, assumed: bool) -> None:
    """Say by what a picture has its size where nobody said how finely it was scanned."""
    if assumed:
        text = f"no ppi known: {ppi:g} taken, which gives its size on the table; say --ppi"
        out().print(text, style="yellow", markup=False)


@contextmanager
def guarded(folder: Path, *, as_json: bool, stopped: str = "stopped") -> Iterator[None]:
    """Turn whatever a command raises into words and an exit code; nothing else ever reaches the person.

    What nobody foresaw becomes one line, and its details a file that can be sent in.

    Parameters
    ----------
    folder
        What the command works on.
    as_json
        Whether a program listens.
    stopped
        What is said after an interrupt from the keyboard.
    """
    try:
        yield
    except (typer.Exit, typer.Abort, UnsaidError):
        raise
    except KeyboardInterrupt:
        err().print(stopped)
        raise typer.Exit(INTERRUPTED) from None
    except Exception as e:
        if isinstance(e, Refused):
            if as_json:
                say_json({"mistakes": mistakes_as_data(e.mistakes), "warnings": []})
            else:
                tell_mistakes(folder, e.mistakes, "bold red")
            raise typer.Exit(WRONG) from None
        if isinstance(e, Explained):
            tell_error(e, as_json=as_json)
            raise typer.Exit(WRONG) from None
        kept = _keep(folder, e)
        why = f"{type(e).__name__}: {e}"[:300]
        if as_json:
            say_mistake(str(folder), why, "no trouble", kept)
        err().print(Text(printable(f"splitpin ran into trouble of its own ({why}). {kept}")))
        raise typer.Exit(FAILED) from None


def tell_error(error: Explained, *, as_json: bool) -> None:
    """The one printer of errors."""
    if as_json:
        say_mistake(error.where, error.found, error.expected, error.remedy)
    console = err()
    console.print(Text(printable(error.where), style="bold red"))
    for label, words in (("found", error.found), ("expected", error.expected), ("do", error.remedy)):
        console.print(Text.assemble((f"    {label:<9}", "dim"), printable(words)))


def _keep(folder: Path, error: BaseException) -> str:
    text = "\n".join(
        [
            f"splitpin {__version__}, Python {platform.python_version()}, {platform.platform()}",
            f"asked: {' '.join(sys.argv[1:])}",
            "",
            "".join(traceback.format_exception(error)),
        ]
    )
    places = [folder / "made" / "trouble.txt"] if (folder / "film.toml").is_file() else []
    for place in [*places, Path(tempfile.gettempdir()) / "splitpin-trouble.txt"]:
        try:
            place.parent.mkdir(exist_ok=True)
            place.write_text(text, encoding="utf-8", errors="replace")
        except OSError:
            continue
        return f"Please report it; the details are in {place}"
    return "Please report it; the details could not be written anywhere"


def _lines(path: Path) -> list[str]:
    try:
        if path.suffix != ".toml" or path.stat().st_size > 4 << 20:
            return []
        return path.read_text(encoding="utf-8-sig", errors="replace").split("\n")
    except OSError:
        return []
