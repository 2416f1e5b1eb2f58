"""Writing a file so that a crash leaves the old one or the new one, never half of either."""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from splitpin.folder.mistake import FolderError


def write_whole(path: Path, data: bytes) -> None:
    """Write beside, flush to the disk, rename over.

    The file keeps its permissions; a link keeps pointing where it did.

    Raises
    ------
    FolderError
        When the disk or its permissions do not allow it; then the old file is untouched.
    """
    with explained(path):
        target = path.resolve()
        part = name_beside(target)
        try:
            write_part(part, target, data)
            part.replace(target)
        finally:
            with contextlib.suppress(OSError):
                part.unlink(missing_ok=True)


def name_beside(target: Path) -> Path:
    """A new name in the same folder, for what is not finished.

    It is hidden and ends in ~, so that neither the reader of the folder nor version control sees it.
    """
    return target.with_name(f".{target.name[:80]}.{secrets.token_hex(4)}~")


def write_part(part: Path, target: Path, data: bytes) -> None:
    """Write what shall take the place of ``target``, flushed to the disk, with that one's permissions."""
    part.parent.mkdir(parents=True, exist_ok=True)
    with part.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if target.exists():
        shutil.copymode(target, part)


@contextmanager
def explained(path: Path) -> Iterator[None]:
    """Tell what the disk does not allow in plain words."""
    try:
        yield
    except OSError as e:
        raise FolderError(
            path.name,
            f"it cannot be written ({e.strerror or type(e).__name__})",
            "a place that may be written to",
            "look at permissions and free space, and whether another program holds it open",
        ) from e
