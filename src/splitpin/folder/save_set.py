"""Writing files that belong together so that a crash leaves all of the old ones or all of the new ones.

All are written beside their places; then a note of what shall go where is written, whole; then they are
renamed. A crash before the note leaves the old files. After it, whoever reads or writes there next does what
the note says: the renames are the same however often they are done, and whoever does them.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Sequence
from pathlib import Path

from splitpin.folder.save import explained, name_beside, write_part, write_whole

NOTE = "set~"
"""How the names of notes end."""


def write_set(files: Sequence[tuple[Path, bytes]]) -> None:
    """Write files that belong together, all or none; whoever reads one of them finds the others too.

    Parameters
    ----------
    files
        Each with what it shall hold; the note lies beside the first of them, and the last is renamed last.

    Raises
    ------
    FolderError
        When the disk or its permissions do not allow one of them; then all old files are as they were.
    """
    if not files:
        return
    finish_sets(files[0][0].resolve().parent)
    parts: list[tuple[Path, Path]] = []
    note = files[0][0].resolve().with_name(f"{name_beside(files[0][0].resolve()).name}{NOTE}")
    before: dict[Path, bytes | None] = {}
    path = files[0][0]
    try:
        for path, data in files:
            with explained(path):
                target = path.resolve()
                part = name_beside(target)
                parts.append((part, target))
                write_part(part, target, data)
                before[target] = target.read_bytes() if target.exists() else None
        says = [[os.path.relpath(p, note.parent) for p in pair] for pair in parts]
        write_whole(note, json.dumps(says).encode())
        for part, path in parts:
            with explained(path), contextlib.suppress(FileNotFoundError):  # another may have done it
                part.replace(path)
    except BaseException:
        _take_back(parts, before)
        raise
    finally:
        for part in (note, *(part for part, _ in parts)):
            with contextlib.suppress(OSError):
                part.unlink(missing_ok=True)


def finish_sets(folder: Path) -> None:
    """Do in a folder what notes say that somebody left who was stopped."""
    with contextlib.suppress(OSError):
        for note in [p for p in folder.iterdir() if p.name.startswith(".") and p.name.endswith(f"~{NOTE}")]:
            _finish(note)


def _finish(note: Path) -> None:
    pairs = json.loads(note.read_bytes())
    for part, target in pairs:
        # What is not there any more was renamed already: by who was stopped, or by another who finishes it.
        with contextlib.suppress(FileNotFoundError):
            (note.parent / part).replace(note.parent / target)
    note.unlink(missing_ok=True)


def _take_back(parts: Sequence[tuple[Path, Path]], before: dict[Path, bytes | None]) -> None:
    for part, target in parts:
        if target not in before or part.exists():
            continue  # not renamed
        was = before[target]
        with contextlib.suppress(OSError):
            if was is None:
                target.unlink(missing_ok=True)
            else:
                write_whole(target, was)
