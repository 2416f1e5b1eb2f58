"""What holds for all of the desk: steps byte for byte, windows in step, nothing acknowledged lost."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPException
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import expect
from starlette.testclient import TestClient
from tests.bench.browser import opened
from tests.bench.conftest import Served
from tests.bench.test_desk import files, title
from tests.bench.working import worked

from splitpin.bench.guard import HEADER
from splitpin.device.pictures import encode_png
from splitpin.folder.history import OUTSIDE
from splitpin.folder.load import load


def boat() -> bytes:
    """A dark hull on light water."""
    picture = np.full((60, 80, 3), (200, 220, 235), np.uint8)
    picture[20:44, 16:66] = (90, 30, 20)
    return encode_png(picture, 6)


def varied(bench: TestClient) -> None:
    """A session in which everything that writes has written: documents, pictures, cut-outs, characters."""

    def post(path: str, **sent: Any) -> Any:
        answer = bench.post(f"/api/{path}", **sent)
        assert answer.status_code < 300, (path, answer.text)
        return answer.json()

    post("edits", json=title("Varied", "name the film"))
    for n in range(4):
        post(
            "edits",
            json={"label": "drag", "join": n > 0, "edits": [
                {"document": "scenes/010-hill.toml", "path": ["cast", "cat", "x"], "value": -20.0 + n},
            ]},
        )  # fmt: skip
    brought = bench.post("/api/pictures", files=[("files", ("boat.png", boat(), "image/png"))])
    cut = {"name": "hull", "recipe": {"box": [8, 12, 66, 40], "ppi": 100}}
    told = worked(bench, brought)
    assert told["state"] == "done", told
    told = worked(bench, bench.post("/api/mat/pictures/boat/cut", json=cut))
    assert told["state"] == "done", told["mistakes"]
    post("characters", json={"name": "crew", "pieces": {"hull": "hull", "head": "head"}})
    post("characters/crew", json={"doing": {"do": "lay", "piece": "head", "x": 1, "y": 3}})
    post("scenes/010-hill/panels", json={"at": 1})
    post("undo")
    post("edits", json=title("Varied again", "name it again"))


def test_undo_to_the_start_and_redo_to_the_end_give_the_same_folder(bench: TestClient, tiny: Path) -> None:
    before = files(tiny)
    varied(bench)
    after = files(tiny)
    assert after != before
    steps = bench.get("/api/film").json()["history"]["steps"]
    for _ in range(2):
        while bench.post("/api/undo").json()["step"]:
            pass
        assert files(tiny) == before
        while bench.post("/api/redo").json()["step"]:
            pass
        assert files(tiny) == after
    bench.post("/api/history", json={"done": 0})
    assert files(tiny) == before
    bench.post("/api/history", json={"done": steps})
    assert files(tiny) == after


@contextmanager
def program(film: Path) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The workbench as a program of its own, and the address that it prints."""
    running = subprocess.Popen(
        [sys.executable, "-m", "splitpin", "bench", str(film), "--port", "0", "--no-open", "--json"],
        stdout=subprocess.PIPE, text=True, env=os.environ,
    )  # fmt: skip
    try:
        assert running.stdout is not None
        yield running, json.loads(running.stdout.readline())["address"]
    finally:
        running.kill()
        running.wait(20)
        if running.stdout is not None:
            running.stdout.close()


KILLED = 3
"""After so many edits the signal is sent."""


def ask(address: str, path: str, body: object = None) -> Any:
    base, key = address.split("/?key=")
    data = None if body is None else json.dumps(body).encode()
    request = urllib.request.Request(  # noqa: S310  (our own address)
        f"{base}/api/{path}", data, {HEADER: key, "content-type": "application/json"}
    )
    with urllib.request.urlopen(request) as answer:  # noqa: S310
        return json.load(answer)


def until_killed(running: subprocess.Popen[str], address: str) -> int:
    """Edit on and on; the number of the last edit that was acknowledged."""
    # The signal comes a moment later, while something is being done.
    killer = threading.Timer(0.05, running.send_signal, [signal.SIGKILL])
    for n in range(100_000):
        if n == KILLED:
            killer.start()
        try:
            ask(address, "edits", title(f"late {n}", f"late {n}"))
        except (OSError, HTTPException):
            return n - 1
    raise AssertionError("it was not killed")


@pytest.mark.skipif(os.name == "nt", reason="there is no such signal")
def test_killed_with_no_warning_it_has_lost_nothing_that_it_acknowledged(tiny: Path) -> None:
    before = files(tiny)
    with program(tiny) as (running, address):
        for n in range(6):
            ask(address, "edits", title(f"film {n}", f"call it {n}"))
        ask(address, "undo", {})
        acknowledged = until_killed(running, address)
    assert acknowledged >= KILLED - 1
    with program(tiny) as (_, address):
        told = [step["label"] for step in ask(address, "history")["done"]]
        # What was on its way is there wholly, or not at all.
        kept = [f"call it {n}" for n in range(5)] + [f"late {n}" for n in range(acknowledged + 1)]
        assert told[: len(kept)] == kept, (told[-3:], acknowledged)
        # One more may have been written, and the signal come before it had its name.
        assert told[len(kept) :] in ([], [f"late {acknowledged + 1}"], [OUTSIDE])
        film = ask(address, "film")
        assert film["film"]["title"] == f"late {acknowledged + len(told) - len(kept)}"
        assert film["mistakes"] == []
        while ask(address, "undo", {})["step"]:
            pass
        assert files(tiny) == before


def test_a_file_that_somebody_else_changes_is_followed_by_the_page(served: Served) -> None:
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        other = page.context.new_page()
        other.goto(f"{base}/envelopes/cat")
        other.wait_for_selector("#ready", state="attached")
        film = served.film / "film.toml"
        film.write_text(film.read_text(encoding="utf-8").replace('"Tiny"', '"By hand"'), encoding="utf-8")
        cat = served.film / "characters/cat.toml"
        cat.write_text(cat.read_text(encoding="utf-8").replace('"Cat"', '"Tom"'), encoding="utf-8")
        for window in (page, other):
            expect(window.locator("#strip .film")).to_have_text("By hand")
        expect(other.get_by_label("what stands on the envelope")).to_have_value("Tom")
        film.write_text("title = [", encoding="utf-8")
        page.goto(f"{base}/reel")
        expect(page.locator(".reel-notes .wrong")).to_contain_text("film.toml")
        page.keyboard.press("Control+z")
        expect(page.locator(".reel-notes .wrong")).to_have_count(0)
        assert 'title = "By hand"' in film.read_text(encoding="utf-8")


def test_two_windows_that_work_at_once_come_to_show_the_same(served: Served) -> None:
    base = served.address.split("/?")[0]
    with opened(f"{served.address}") as page:
        windows = [page, page.context.new_page()]
        for window in windows:
            window.goto(f"{base}/envelopes/cat?piece=head")
            window.wait_for_selector("#ready", state="attached")
            expect(window.get_by_role("heading", name="head")).to_be_visible()
        for n in range(6):
            windows[n % 2].keyboard.press("Alt+ArrowUp" if n % 3 else "Alt+ArrowDown")
            windows[(n + 1) % 2].keyboard.press("Shift+ArrowUp")
        windows[1].keyboard.press("Control+z")

        def shown() -> list[list[str]]:
            return [
                [
                    *window.get_by_role("listbox").get_by_role("option").locator("b").all_inner_texts(),
                    window.get_by_role("button", name="Undo").get_attribute("title") or "",
                ]
                for window in windows
            ]

        # Each follows what the other does as it hears of it; in the end they show what the folder says.
        for _ in range(100):
            page.wait_for_timeout(100)
            last = shown()
            order = load(served.film).characters["cat"].order[::-1]
            if last[0] == last[1] and last[0][:-1] == order:
                break
        assert last[0] == last[1]
        assert last[0][:-1] == order
