"""The page in a real browser."""

from __future__ import annotations

import re

from playwright.sync_api import expect
from tests.bench.browser import opened
from tests.bench.conftest import Served

CALL_IT_TWO = """() => fetch("/api/edits", {
    method: "POST",
    headers: {"content-type": "application/json"},
    body: JSON.stringify({label: "call it", edits: [{document: "film.toml", path: ["title"], value: "Two"}]}),
})"""


def test_the_film_plays_at_once_with_its_sound_and_stops_at_its_end(served: Served) -> None:
    with opened(served.address) as page:
        assert page.url.split("?")[0].endswith("/")
        expect(page.get_by_role("link", name="Reel")).to_have_attribute("aria-current", "page")
        head = page.locator(".reel-time")
        expect(head).to_contain_text("frame 0 of")
        page.keyboard.press("ArrowRight")
        expect(head).not_to_contain_text("frame 0 of")
        page.keyboard.press("Home")
        page.keyboard.press("Space")
        expect(page.get_by_role("button", name="Stop")).to_be_visible()
        expect(page.get_by_role("button", name="Play")).to_be_visible(timeout=30_000)
        last = re.search(r"frame (\d+) of (\d+)", head.inner_text())
        assert last
        assert int(last[1]) == int(last[2]) - 1


def test_every_place_has_an_address_and_back_works(served: Served) -> None:
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        for name in ("Pictures", "Cutting mat", "Envelopes", "Board", "Table", "Sheet", "Camera", "Reel"):
            page.get_by_role("link", name=name, exact=False).click()
            expect(page.get_by_role("link", name=name)).to_have_attribute("aria-current", "page")
        page.go_back()
        assert page.url == f"{base}/camera"
        page.goto(f"{base}/board")
        expect(page.get_by_role("link", name="Board")).to_have_attribute("aria-current", "page")


def test_the_card_of_keys_tells_every_action(served: Served) -> None:
    with opened(served.address) as page:
        page.keyboard.press("?")
        card = page.get_by_role("dialog", name="keys")
        expect(card).to_contain_text("play or stop")
        expect(card).to_contain_text("take back the latest step")
        page.keyboard.press("Escape")
        expect(card).to_have_count(0)


def test_two_windows_show_the_same_and_undo_reaches_both(served: Served) -> None:
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        other = page.context.new_page()
        other.goto(f"{base}/reel")
        other.wait_for_selector("#ready", state="attached")
        page.evaluate(CALL_IT_TWO)
        expect(other.locator("#strip .film")).to_have_text("Two")
        expect(page.locator("#strip .film")).to_have_text("Two")
        other.keyboard.press("Control+z")
        expect(page.locator("#strip .film")).not_to_have_text("Two")


def test_the_shelf_begins_a_film(served: Served) -> None:
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        page.goto(f"{base}/shelf")
        page.get_by_label("its folder").first.fill(str(served.film.parent / "boat"))
        page.get_by_role("button", name="Begin").click()
        expect(page.locator("#strip .film")).to_have_text("boat")
        page.wait_for_url(f"{base}/board")
    assert (served.film.parent / "boat" / "film.toml").is_file()


def test_a_first_walk_leads_round_the_desk_once(served: Served) -> None:
    with opened(served.address) as page:
        walk = page.get_by_role("complementary", name="a first walk round the desk")
        for place in ("pictures", "mat", "board", "table", "sheet"):
            walk.get_by_role("button", name="Next").click()
            page.wait_for_url(re.compile(rf"/{place}\b"))
        walk.get_by_role("button", name="Done").click()
        expect(walk).to_have_count(0)
        page.reload()
        page.wait_for_selector("#ready", state="attached")
        expect(walk).to_have_count(0)
