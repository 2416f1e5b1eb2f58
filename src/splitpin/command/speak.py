"""Everything the command line says: results, mistakes, trouble."""

from __future__ import annotations

import json
import platform
import sys
import tempfile
import traceback
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from itertools import groupby
from pathlib import Path
from typing import Protocol, runtime_checkable

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


def out() -> Console:
    """Where results go."""
    return Console(file=sys.stdout, highlight=False, soft_wrap=True)


def err() -> Console:
    """Where mistakes in using a command go."""
    return Console(file=sys.stderr, highlight=False, soft_wrap=True)


def say_json(value: object) -> None:
    """One line of JSON in plain ASCII, which every terminal and code page carries."""
    sys.stdout.write(json.dumps(value, ensure_ascii=True) + "\n")


def printable(text: str) -> str:
    """Text without characters that steer a terminal."""
    return "".join(c if c.isprintable() else "\ufffd" for c in text)


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


@contextmanager
def guarded(folder: Path, *, as_json: bool) -> Iterator[None]:
    """Turn whatever a command raises into words and an exit code; nothing else ever reaches the person.

    What nobody foresaw becomes one line, and its details a file that can be sent in.
    """
    try:
        yield
    except (typer.Exit, typer.Abort):
        raise
    except KeyboardInterrupt:
        err().print("stopped")
        raise typer.Exit(INTERRUPTED) from None
    except BrokenPipeError:
        sys.stderr.close()
        raise typer.Exit(FAILED) from None
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
            say_json(
                {"error": {"where": str(folder), "found": why, "expected": "no trouble", "remedy": kept}}
            )
        err().print(Text(printable(f"splitpin ran into trouble of its own ({why}). {kept}")))
        raise typer.Exit(FAILED) from None


def tell_error(error: Explained, *, as_json: bool) -> None:
    """The one printer of errors."""
    if as_json:
        keys = ("where", "found", "expected", "remedy")
        say_json({"error": {key: getattr(error, key) for key in keys}})
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
