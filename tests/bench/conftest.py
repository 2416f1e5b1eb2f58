"""A workbench that runs on a small film."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest
import uvicorn
from starlette.testclient import TestClient
from tests.tinyfilm import write_tiny

from splitpin.bench.app import guarded
from splitpin.bench.guard import HEADER
from splitpin.bench.room import Room

KEY = "a-key-of-the-tests"
PORT = 4160


@pytest.fixture(autouse=True)
def _own_shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SPLITPIN_STATE", str(tmp_path / "state"))


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    """A small film."""
    return write_tiny(tmp_path / "tiny")


@pytest.fixture
def room(tiny: Path) -> Iterator[Room]:
    """The room with that film open."""
    room = Room()
    room.lay_out(tiny)
    yield room
    room.close()


@pytest.fixture
def bench(room: Room) -> Iterator[TestClient]:
    """What its page sees."""
    app = guarded(room, KEY, PORT)
    with TestClient(
        app, base_url=f"http://127.0.0.1:{PORT}", headers={HEADER: KEY}, raise_server_exceptions=False
    ) as client:
        yield client


class Served(NamedTuple):
    """A workbench that a browser can reach."""

    address: str
    """With its key."""
    film: Path


@pytest.fixture
def served(room: Room, tiny: Path) -> Iterator[Served]:
    """It serves on a free port of this computer."""
    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    port = listening.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(guarded(room, KEY, port), log_level="error"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield Served(f"http://127.0.0.1:{port}/?key={KEY}", tiny)
    server.should_exit = True
    thread.join(10)
