"""Files that are there whole or not at all: written beside, then renamed."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from secrets import token_hex

PART = ".part"
"""How the names of unfinished files and folders end."""


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
        part.replace(path)
    except BaseException:
        shutil.rmtree(part, ignore_errors=True)
        raise
    finally:
        shutil.rmtree(old, ignore_errors=True)
