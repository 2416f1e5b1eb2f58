"""Draw the places of the workbench from the example film: ``make pictures`` calls it.

Each place goes into ``docs/pictures/desk-PLACE.webp``, as it opens on the example in a window of 1280 × 800.
"""

from __future__ import annotations

import os
import shutil
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

import uvicorn
from PIL import Image
from playwright.sync_api import Page, sync_playwright

from splitpin.bench.app import guarded
from splitpin.bench.room import Room

PLACES = {
    "shelf": "/shelf",
    "pictures": "/pictures",
    "mat": "/mat/cutout/coffee",
    "envelopes": "/envelopes",
    "envelope": "/envelopes/cat?piece=head",
    "board": "/board",
    "table": "/table/030-no?frame=20",
    "sheet": "/sheet/030-no",
    "camera": "/camera",
    "reel": "/reel?frame=300",
}
"""The address of each place, at something worth seeing."""
WINDOW = (1280, 800)
QUIET = 1500
"""Milliseconds after the last answer for canvases to be drawn."""


def draw(film: Path, into: Path, window: tuple[int, int] = WINDOW) -> list[Path]:
    """Draw every place of a film that is the example.

    Parameters
    ----------
    film
        Its folder.
    into
        Where the pictures go, ``desk-PLACE.webp``.
    window
        Width and height, CSS pixels.

    Raises
    ------
    RuntimeError
        When the page complains, or there is no browser.
    """
    drawn = []
    with (
        TemporaryDirectory() as state,
        serving(film, Path(state)) as address,
        browsing(address, window) as page,
    ):
        base = address.split("/?")[0]
        page.evaluate("localStorage.setItem('splitpin-walk', '99')")
        for place, where in PLACES.items():
            page.goto(base + where)
            page.wait_for_selector("#ready", state="attached")
            page.wait_for_load_state("networkidle")
            page.wait_for_timeout(QUIET)
            drawn.append(into / f"desk-{place}.webp")
            with Image.open(BytesIO(page.screenshot())) as picture:
                picture.convert("RGB").save(drawn[-1], quality=82, method=6)
    return drawn


@contextmanager
def serving(film: Path, state: Path) -> Iterator[str]:
    """The workbench on a free port, with a shelf and a home that are nobody's; its address with the key."""
    ours = {"SPLITPIN_STATE": str(state), "HOME": "/home/me", "USERPROFILE": "/home/me"}
    before = {name: os.environ.get(name) for name in ours}
    os.environ.update(ours)
    room = Room()
    room.lay_out(film)
    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    port = listening.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(guarded(room, "pictures", port), log_level="error"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    try:
        yield f"http://127.0.0.1:{port}/?key=pictures"
    finally:
        server.should_exit = True
        thread.join(20)
        for name, value in before.items():
            os.environ.pop(name)
            if value is not None:
                os.environ[name] = value


@contextmanager
def browsing(address: str, window: tuple[int, int]) -> Iterator[Page]:
    """Chromium with the page open; what it complains of is raised at the end."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if chromium is None:
        raise RuntimeError("no Chromium to draw the desk with: install it")
    complaints: list[str] = []
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        page = browser.new_context(viewport={"width": window[0], "height": window[1]}).new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
        page.set_default_timeout(60_000)
        page.goto(address)
        page.wait_for_selector("#ready", state="attached")
        yield page
        browser.close()
    if complaints:
        raise RuntimeError(f"the page complains: {complaints}")
