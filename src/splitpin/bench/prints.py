"""Pictures of exposures as the page gets them, kept from one look to the next, also over a restart."""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from splitpin import __version__
from splitpin.folder.mistake import FolderError
from splitpin.folder.save import write_whole

ROOM = 256 << 20
"""Bytes that they may take on the disk before those not looked at for longest are thrown away: about 40
minutes of film on twos.
"""
OFTEN = 100
"""After so many new ones it is looked whether they take too much."""


class Prints:
    """JPEGs by the key of an exposure and their width. Equal keys are equal pictures, so none is ever wrong.

    Parameters
    ----------
    place
        A folder of their own. What another version of splitpin drew is not taken.
    room
        Bytes that they may take.
    """

    def __init__(self, place: Path, room: int = ROOM) -> None:
        self._place, self._room, self._new = place, room, 0

    def get(self, key: str, width: int, make: Callable[[], bytes]) -> bytes:
        """A picture; made when it is not here. Where it cannot be kept it is made every time."""
        file = self._place / f"{key}-{width}-{__version__}.jpg"
        with suppress(OSError):
            found = file.read_bytes()
            os.utime(file)
            return found
        made = make()
        with suppress(OSError, FolderError):
            self._place.mkdir(parents=True, exist_ok=True)
            write_whole(file, made)
        self._new += 1
        if self._new % OFTEN == 1:
            self._tidy()
        return made

    def _tidy(self) -> None:
        with suppress(OSError):
            files = [(file, file.stat()) for file in self._place.iterdir()]
            over = sum(told.st_size for _, told in files) - self._room
            for file, told in sorted(files, key=lambda one: one[1].st_mtime):
                if over <= 0:
                    break
                file.unlink(missing_ok=True)
                over -= told.st_size
