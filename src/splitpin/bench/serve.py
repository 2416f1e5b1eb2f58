"""Serve the workbench on this computer."""

from __future__ import annotations

import asyncio
import logging
import socket
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from threading import Thread

import uvicorn

from splitpin.bench.app import guarded
from splitpin.bench.desk import Desk
from splitpin.bench.guard import new_key
from splitpin.bench.room import Room
from splitpin.folder.mistake import FolderError

PORT = 4160
"""Where it is served unless something else is there: the figures of a 16-frame foot and a field of 4 to 10.
"""
FIRST = 1280
"""How wide the reel asks for its pictures, pixels."""


def serve(film: Path | None, port: int | None, ready: Callable[[str], None]) -> None:
    """Serve until an interrupt.

    Parameters
    ----------
    film
        The folder to open; the shelf is shown without.
    port
        Where; a free one near the usual when left out.
    ready
        Told the address, with its key, once requests can come.

    Raises
    ------
    FolderError
        When there is no film in the folder, or the port is taken.
    """
    room = Room()
    if film is not None:
        room.lay_out(film)
    listening = _listen(port)
    if room.open is not None:
        Thread(target=_ahead, args=(room.open,), name="ahead", daemon=True).start()
    number = listening.getsockname()[1]
    key = new_key()
    config = uvicorn.Config(
        guarded(room, key, number),
        log_level="error",
        access_log=False,
        ws="websockets-sansio",
        timeout_graceful_shutdown=1,
    )
    logging.getLogger("uvicorn.error").addFilter(_is_told)
    server = _Server(config, lambda: ready(f"http://127.0.0.1:{number}/?key={key}"))
    server.run(sockets=[listening])


def _ahead(desk: Desk) -> None:
    """Read the film and draw its first picture while the browser is still on its way."""
    with suppress(Exception):  # whoever asks is told
        held = desk.standing().held
        if held:
            desk.jpeg(held[0], FIRST)


def _is_told(record: logging.LogRecord) -> bool:
    """Whatever went on when the program was put away is nobody's mistake."""
    cancelled = record.exc_info is not None and isinstance(record.exc_info[1], asyncio.CancelledError)
    return not cancelled and "graceful shutdown exceeded" not in str(record.msg)


class _Server(uvicorn.Server):
    def __init__(self, config: uvicorn.Config, told: Callable[[], None]) -> None:
        super().__init__(config)
        self._told = told

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        self._told()


def _listen(port: int | None) -> socket.socket:
    for number in (port,) if port is not None else (PORT, 0):
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind(("127.0.0.1", number))
        except OSError as e:
            listening.close()
            if port is not None:
                raise FolderError(
                    f"port {port}", f"it cannot be had ({e.strerror})", "a free port of this computer",
                    "name another, or leave --port out",
                ) from e  # fmt: skip
            continue
        return listening
    raise FolderError("the ports", "none is free", "a free port of this computer", "close other programs")
