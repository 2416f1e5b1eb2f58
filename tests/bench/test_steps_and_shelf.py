"""The card of steps and the shelf, as the server and as the page have them."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import expect
from starlette.testclient import TestClient
from tests.bench.browser import opened
from tests.bench.conftest import Served
from tests.bench.test_desk import files, title
from tests.tinyfilm import write_tiny

from splitpin.bench.room import Room


def test_any_step_can_be_gone_to_in_one_go_and_told_once(bench: TestClient, tiny: Path) -> None:
    states = [files(tiny)]
    for n in range(5):
        bench.post("/api/edits", json=title(f"film {n}", f"call it {n}"))
        states.append(files(tiny))
    told = bench.get("/api/history").json()
    assert [step["label"] for step in told["done"]] == [f"call it {n}" for n in range(5)]
    assert told["done"][0]["files"] == ["film.toml"]
    with bench.websocket_connect("ws://127.0.0.1:4160/api/events") as socket:
        socket.receive_json()
        for n in (2, 0, 4, 5, 1):
            revision = bench.post("/api/history", json={"done": n}).json()["revision"]
            assert files(tiny) == states[n]
            assert socket.receive_json()["revision"] == revision
    told = bench.get("/api/history").json()
    assert [step["number"] for step in told["undone"]] == [2, 3, 4, 5]
    assert bench.get("/api/history", params={"most": 1}).json()["begun"] == 0
    # More than there are is as many as there are.
    bench.post("/api/history", json={"done": 99})
    assert files(tiny) == states[5]
    assert bench.get("/api/history", params={"most": 2}).json()["begun"] == 3


def test_a_film_is_called_by_its_title_and_taken_off_the_shelf_untouched(
    bench: TestClient, room: Room, tmp_path: Path
) -> None:
    other = write_tiny(tmp_path / "other")
    before = files(other)
    room.lay_out(other)
    told = bench.get("/api/shelf").json()
    assert [film["name"] for film in told["films"]] == ["Tiny", "Tiny"]
    assert bench.get("/api/shelf/0/frame.jpg").status_code == 200
    left = bench.request("DELETE", "/api/shelf", json={"folder": str(other)}).json()
    assert [Path(film["folder"]).name for film in left["films"]] == ["tiny"]
    assert files(other) == before


def test_a_step_is_gone_to_by_a_click_in_one_window_and_seen_in_the_other(served: Served) -> None:
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        page.evaluate("localStorage.setItem('splitpin-walk', '99')")
        page.goto(f"{base}/envelopes/cat?piece=head")
        order = page.get_by_role("listbox").get_by_role("option")
        expect(order.first.locator("b")).to_have_text("mouth")
        for first in ("head", "mouth", "head"):
            page.keyboard.press("Alt+ArrowUp" if first == "head" else "Alt+ArrowDown")
            expect(order.first.locator("b")).to_have_text(first)
        other = page.context.new_page()
        other.goto(f"{base}/reel")
        other.wait_for_selector("#ready", state="attached")
        other.keyboard.press("Control+Alt+z")
        card = other.get_by_role("dialog", name="what was done")
        steps = card.get_by_role("listitem")
        expect(steps).to_have_count(4)
        steps.nth(2).get_by_role("button").click()
        expect(steps.nth(2)).to_have_attribute("aria-current", "step")
        expect(order.first.locator("b")).to_have_text("head")
        steps.nth(3).get_by_role("button").click()
        expect(order.first.locator("b")).to_have_text("mouth")
        steps.nth(0).get_by_role("button").click()
        expect(order.first.locator("b")).to_have_text("head")
        other.keyboard.press("Escape")
        expect(card).to_have_count(0)
