"""Files that are there whole or not at all: written beside, then renamed."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Collection, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from secrets import token_hex

from splitpin.folder.mistake import FolderError

PART = ".part"
"""How the names of unfinished files and folders end."""
YOUNG = 3600.0
"""Seconds for which a file may still be somebody's work."""


def _name_beside(path: Path) -> Path:
    return path.with_name(f".{path.name[:40]}-{token_hex(4)}{PART}")


@contextmanager
def beside(path: Path) -> Iterator[Path]:
    """A path to write to; when the block ends well it takes the place of ``path``, else it goes away."""
    path.parent.mkdir(parents=True, exist_ok=True)
    part = _name_beside(path)
    try:
        yield part
        with part.open("rb+") as file:
            os.fsync(file.fileno())
        part.replace(path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


@contextmanager
def folder_beside(path: Path) -> Iterator[Path]:
    """The same for a whole folder: what was at ``path`` before goes when the new one is there."""
    part, old = _name_beside(path), _name_beside(path)
    part.mkdir(parents=True)
    try:
        yield part
        if path.exists():
            path.replace(old)
        try:
            part.replace(path)
        except BaseException:
            if old.exists():
                old.replace(path)
            raise
    except BaseException:
        shutil.rmtree(part, ignore_errors=True)
        raise
    shutil.rmtree(old, ignore_errors=True)


@contextmanager
def new_folder(path: Path) -> Iterator[Path]:
    """The same for a folder that is not there: whoever else has made one there meanwhile keeps it.

    Raises
    ------
    FolderError
        When there is something at ``path`` at the end.
    """
    part = _name_beside(path)
    part.mkdir(parents=True)
    try:
        yield part
        try:
            part.rename(path)
        except OSError as problem:
            if not os.path.lexists(path):
                raise
            raise FolderError(
                str(path), "something was put there meanwhile", "a new folder",
                "name another: nothing is written over",
            ) from problem  # fmt: skip
    except BaseException:
        shutil.rmtree(part, ignore_errors=True)
        raise


def remove(entry: Path) -> None:
    """Take away a file, or a folder with all that is in it, as far as that can be done."""
    if entry.is_dir() and not entry.is_symlink():
        shutil.rmtree(entry, ignore_errors=True)
    else:
        with suppress(OSError):
            entry.unlink()


def sweep(folder: Path, kept: Collection[str] | None = None, age: float = YOUNG) -> None:
    """Take away what was left unfinished in a folder, and what is not kept.

    Parameters
    ----------
    folder
        It need not be there.
    kept
        The names of what stays; everything that is finished, when left out.
    age
        Seconds: what was touched within them stays too, since somebody else may be at work on it.
    """
    if not folder.is_dir():
        return
    for entry in folder.iterdir():
        unfinished = entry.name.startswith(".") and entry.suffix == PART
        if unfinished or (kept is not None and entry.name not in kept):
            with suppress(OSError):
                if time.time() - entry.stat().st_mtime > age:
                    remove(entry)
