"""Screen what an outlet has made, once for each film: the result is kept beside it."""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path
from typing import Any

from splitpin.folder.mistake import FolderError
from splitpin.folder.save import write_whole
from splitpin.jobs.screen import screen, screened_as_data, told_spans, write_screened
from splitpin.jobs.workers import Stop

PLACE = "screened"
"""The folder in ``made/`` in which the results lie."""
MOVING = (".mp4", ".mov", ".gif")
"""How the names of films end that can be screened as they are made."""
RULES = 1
"""Raised when the screening changes: results by older rules are not taken."""


def screening_of(film: Path, made: Path, stop: Stop) -> dict[str, Any] | None:
    """The screening of a film that was made; what :func:`splitpin.jobs.screen.screened_as_data` tells.

    Parameters
    ----------
    film
        The first file of an outlet; None is the answer for what is no film.
    made
        The folder ``made/``; what was found goes to ``screened/`` in it, pictures only where something was.
    stop
        Whether it is wanted still.
    """
    if film.suffix not in MOVING or not film.is_file():
        return None
    with film.open("rb") as file:
        content = sha256()
        while block := file.read(1 << 20):
            content.update(block)
    place = made / PLACE / film.stem
    kept = place / "screening.json"
    told = {"film": content.hexdigest(), "rules": RULES}
    try:
        known = json.loads(kept.read_text("utf-8"))
        if {key: known[key] for key in told} == told:
            return dict(known["result"])
    except (OSError, ValueError, KeyError, TypeError):
        pass
    try:
        found = screen(film, lambda *_: stop.here())
    except FolderError:
        return None  # a film that cannot be read back is told of where it is made
    write_screened(found, film.name, place)
    result = screened_as_data(found) | {"spans": told_spans(found.verdict.spans)}
    write_whole(kept, json.dumps(told | {"result": result}, ensure_ascii=False, indent=1).encode())
    return result
