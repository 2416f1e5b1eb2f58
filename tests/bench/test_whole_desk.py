"""What holds for all of the desk: steps byte for byte, windows in step, nothing acknowledged lost."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from http.cookiejar import CookieJar
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect
from starlette.testclient import TestClient
from tests.bench.browser import opened
from tests.bench.conftest import Served
from tests.bench.test_desk import files, title
from tests.bench.working import finished
from tests.tinyfilm import png

from splitpin.bench.guard import HEADER
from splitpin.folder.history import History


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
    told = post("pictures", files=[("files", ("boat.png", png(40, 30, (90, 120, 160, 255)), "image/png"))])
    finished(bench, told)
    cut = {"picture": "boat", "name": "hull", "recipe": {"box": [4, 4, 30, 20], "edge": "knife", "ppi": 100}}
    finished(bench, post("cuts", json=cut))
    post("characters", json={"name": "crew", "pieces": {"hull": "hull", "head": "head"}})
    post("characters/crew", json={"doing": {"do": "lay", "piece": "head", "x": 1, "y": 3}})
    post("board/010-hill/panels", json={"at": 1})
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


def ask(address: str, path: str, body: object = None) -> Any:
    base, key = address.split("/?key=")
    data = None if body is None else json.dumps(body).encode()
    request = urllib.request.Request(  # noqa: S310  (our own address)
        f"{base}/api/{path}", data, {HEADER: key, "content-type": "application/json"}
    )
    with urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar())).open(request) as answer:
        return json.load(answer)


@pytest.mark.skipif(os.name == "nt", reason="there is no such signal")
def test_killed_with_no_warning_it_has_lost_nothing_that_it_acknowledged(tiny: Path) -> None:
    before = files(tiny)
    with program(tiny) as (running, address):
        for n in range(6):
            ask(address, "edits", title(f"film {n}", f"call it {n}"))
        ask(address, "undo", {})
        acknowledged = files(tiny)
        # Edits are on their way when it is killed: each is there wholly, or not at all.
        with urllib.request.urlopen(address), pytest.raises(OSError, match=r".*"):  # noqa: S310
            for n in range(1000):
                if n == 3:
                    os.kill(running.pid, signal.SIGKILL)
                ask(address, "edits", title(f"late {n}", f"late {n}"))
                acknowledged = files(tiny)
    now = files(tiny)
    late = [now == acknowledged, b"late" in now["film.toml"]]
    assert any(late)
    with program(tiny) as (_, address):
        told = ask(address, "history")
        assert [step["label"] for step in told["done"]][:5] == [f"call it {n}" for n in range(5)]
        assert ask(address, "film")["mistakes"] == []
        while ask(address, "undo", {})["step"]:
            pass
        assert files(tiny) == before
    # Nothing but its own place holds what is not of the film.
    assert not [path for path in files(tiny) if path.endswith("~")]
    History(tiny)


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
        expect(windows[0].get_by_role("button", name="Redo")).to_be_enabled()
        piles = [window.get_by_role("listbox").get_by_role("option").locator("b") for window in windows]
        page.wait_for_load_state("networkidle")
        last = [pile.all_inner_texts() for pile in piles]
        for _ in range(20):
            if last[0] == last[1]:
                break
            page.wait_for_timeout(100)
            last = [pile.all_inner_texts() for pile in piles]
        assert last[0] == last[1]
        undo = [window.get_by_role("button", name="Undo").get_attribute("title") for window in windows]
        assert undo[0] == undo[1]
