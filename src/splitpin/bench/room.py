"""What the routes work with: the desk, its work and its events, while the program runs."""

from __future__ import annotations

from pathlib import Path
from threading import Lock
from typing import Annotated

from fastapi import Depends, Request

from splitpin.bench.desk import Desk
from splitpin.bench.events import Events
from splitpin.bench.shelf import remember
from splitpin.bench.work import Queue
from splitpin.folder.mistake import FolderError


class Room:
    """The room that the desk stands in. One film lies open at a time, or none."""

    def __init__(self) -> None:
        self.events = Events()
        self.queue = Queue(self.events)
        self._desk: Desk | None = None
        self._lock = Lock()

    @property
    def open(self) -> Desk | None:
        """The desk with its film; None when nothing is open."""
        return self._desk

    def lay_out(self, film: Path) -> Desk:
        """Open a film, and put away the one that was open.

        Raises
        ------
        FolderError
            When it is no film, or another workbench has it open.
        """
        with self._lock:
            if self._desk is not None and self._desk.root == film.resolve():
                return self._desk
            desk = Desk(film, self.events)
            before, self._desk = self._desk, desk
            if before is not None:
                before.close()
        remember(film)
        self.events.tell({"kind": "everything"})
        return desk

    def close(self) -> None:
        """Put everything away."""
        self.queue.close()
        if self._desk is not None:
            self._desk.close()
            self._desk = None


def room_of(request: Request) -> Room:
    """The room of a request."""
    room: Room = request.app.state.room
    return room


def desk_of(request: Request) -> Desk:
    """The desk of a request.

    Raises
    ------
    FolderError
        When no film is open.
    """
    desk = room_of(request).open
    if desk is None:
        raise FolderError("the desk", "no film lies on it", "an open film", "take one from the shelf")
    return desk


TheRoom = Annotated[Room, Depends(room_of)]
TheDesk = Annotated[Desk, Depends(desk_of)]
