"""Writing a file so that a crash leaves the old one or the new one, never half of either."""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
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
    try:
        target = path.resolve()
        target.parent.mkdir(parents=True, exist_ok=True)
        # A hidden name that ends in ~ is seen neither by the reader of the folder nor by version control.
        beside = target.with_name(f".{target.name[:80]}.{secrets.token_hex(4)}~")
        try:
            with beside.open("xb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            if target.exists():
                shutil.copymode(target, beside)
            beside.replace(target)
        finally:
            with contextlib.suppress(OSError):
                beside.unlink(missing_ok=True)
    except OSError as e:
        raise FolderError(
            path.name,
            f"it cannot be written ({e.strerror or type(e).__name__})",
            "a place that may be written to",
            "look at permissions and free space, and whether another program holds it open",
        ) from e
