"""The films that were open lately, kept for this person on this computer."""

from __future__ import annotations

import json
import os
import tomllib
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

import typer

from splitpin.folder.kinds import FILM_FILE
from splitpin.folder.mistake import FolderError
from splitpin.folder.save import write_whole

MOST = 24
"""So many are remembered."""


def place() -> Path:
    """Where the list is; ``SPLITPIN_STATE`` names another folder for it."""
    return Path(os.environ.get("SPLITPIN_STATE") or typer.get_app_dir("splitpin")) / "shelf.json"


def recent() -> list[Path]:
    """The films that are still there, the latest first."""
    with suppress(OSError, ValueError):
        told = json.loads(place().read_bytes())
        if isinstance(told, list):
            paths = [Path(path) for path in told if isinstance(path, str)]
            return [path for path in paths if (path / FILM_FILE).is_file()]
    return []


def titled(film: Path) -> str:
    """What a film is called; its folder's name while its document cannot be read."""
    with suppress(OSError, ValueError):
        title = tomllib.loads((film / FILM_FILE).read_text(encoding="utf-8")).get("title")
        if isinstance(title, str) and title.strip():
            return title
    return film.name


def remember(film: Path) -> None:
    """Put a film first on the shelf. Where that cannot be written, it is forgotten, which harms nobody."""
    _write([film.resolve(), *(path for path in recent() if path != film.resolve())])


def forget(film: Path) -> None:
    """Take a film off the shelf; its folder stays where it is, as it is."""
    _write([path for path in recent() if path != film])


def _write(paths: Sequence[Path]) -> None:
    with suppress(OSError, FolderError):
        place().parent.mkdir(parents=True, exist_ok=True)
        write_whole(place(), json.dumps([str(path) for path in paths[:MOST]], indent=1).encode())
