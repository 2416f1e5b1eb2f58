"""Points, lines and strokes that a person hands over in a file of JSON."""

from __future__ import annotations

import json
from pathlib import Path

from splitpin.folder.mistake import FolderError


def read_json(file: Path, wanted: str, most_mb: int) -> object:
    """What a file of JSON says.

    Parameters
    ----------
    file
        Where it is.
    wanted
        What it should hold, in words.
    most_mb
        How large it may be, in units of 2²⁰ bytes.

    Raises
    ------
    FolderError
        When it cannot be read, is larger, or is no JSON.
    """
    where = str(file)
    try:
        if file.stat().st_size > most_mb << 20:
            raise FolderError(where, f"a file of more than {most_mb} MB", wanted, "name another file")
        return json.loads(file.read_text(encoding="utf-8-sig"))
    except OSError as e:
        why = f"it cannot be read ({e.strerror or type(e).__name__})"
        raise FolderError(where, why, wanted, "look at its name and permissions") from None
    except (ValueError, RecursionError):
        raise FolderError(where, "something that is not JSON", wanted, "look for a missing bracket") from None
