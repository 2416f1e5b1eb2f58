"""The files of a film that people change, as they are now: what steps of its history are told by."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

from splitpin.folder.kinds import FILM_FILE

UNTRACKED = frozenset({"made", "takes"})
"""What is made can be made again; takes are written once and never changed."""


class Seen(NamedTuple):
    """What a file was when it was last looked at."""

    sha256: str
    """The sum of its bytes, hexadecimal."""
    size: int
    """Bytes."""
    mtime_ns: int
    """When it was written, as the system tells it."""


def look(root: Path, known: Mapping[str, Seen]) -> dict[str, Seen]:
    """Every file of a film that its history keeps, by its path in the folder.

    A file whose size and time are those that are known is not read again.

    Parameters
    ----------
    root
        The film folder.
    known
        What was seen before.

    Raises
    ------
    OSError
        When a file can be seen and not read.
    """
    found: dict[str, Seen] = {}
    for path in _files(root):
        name = path.relative_to(root).as_posix()
        told = path.stat()
        before = known.get(name)
        if before is not None and (before.size, before.mtime_ns) == (told.st_size, told.st_mtime_ns):
            found[name] = before
        else:
            found[name] = Seen(sum_of(path), told.st_size, told.st_mtime_ns)
    return found


def sum_of(path: Path) -> str:
    """The SHA-256 of a file, hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _files(root: Path) -> Iterator[Path]:
    film = root / FILM_FILE
    if film.is_file():
        yield film
    for entry in sorted(os.scandir(root), key=lambda entry: entry.name):
        if entry.is_dir(follow_symlinks=False) and entry.name not in UNTRACKED and not _hidden(entry.name):
            yield from _below(Path(entry.path))


def _below(folder: Path) -> Iterator[Path]:
    for entry in sorted(os.scandir(folder), key=lambda entry: entry.name):
        if _hidden(entry.name):
            continue
        if entry.is_dir(follow_symlinks=False):
            yield from _below(Path(entry.path))
        elif entry.is_file(follow_symlinks=False):
            yield Path(entry.path)


def _hidden(name: str) -> bool:
    return name.startswith(".") or name.endswith("~")
