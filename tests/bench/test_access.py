"""Every place of the desk can be read, reached by keys and touched; nothing moves for those who want rest."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page
from tests.bench.browser import opened
from tests.bench.conftest import Served

PROBES = (Path(__file__).parent / "probes.js").read_text(encoding="utf-8")
PLACES = {
    "shelf": "/shelf",
    "pictures": "/pictures",
    "picture": "/pictures/found",
    "mat": "/mat/found",
    "envelopes": "/envelopes",
    "envelope": "/envelopes/cat?piece=mouth",
    "board": "/board",
    "table": "/table/010-hill?frame=2",
    "sheet": "/sheet/010-hill",
    "camera": "/camera",
    "reel": "/reel?frame=2",
}
TOUCH = 40
"""The least side of what a finger must hit, CSS pixels."""


def look(page: Page, served: Served, place: str) -> None:
    page.goto(served.address.split("/?")[0] + PLACES[place])
    page.wait_for_selector("#ready", state="attached")
    page.wait_for_load_state("networkidle")
    page.evaluate(PROBES)


def test_every_place_can_be_read_by_everybody(served: Served) -> None:
    found: dict[str, object] = {}
    with opened(served.address) as page:
        for place in PLACES:
            look(page, served, place)
            found[place] = page.evaluate("[probes.faint(), probes.nameless(), probes.wide() <= 0]")
        # Steps and keys are cards over a place; they are read as well.
        for key in ("?", "Control+Alt+z"):
            page.keyboard.press(key)
            page.get_by_role("dialog").wait_for()
            found[key] = page.evaluate("[probes.faint(), probes.nameless(), true]")
            page.keyboard.press("Escape")
    assert found == {place: [[], [], True] for place in found}


def test_keys_reach_what_is_in_a_place_and_show_where_they_are(served: Served) -> None:
    with opened(served.address) as page:
        for place in PLACES:
            look(page, served, place)
            here = page.evaluate("probes.focused()")
            seen = []
            for _ in range(40):
                page.keyboard.press("Tab")
                focused = page.evaluate("probes.focused()")
                if focused is None:
                    break
                assert focused["ring"], (place, focused)
                seen.append((focused["place"], focused["name"]))
            # A place may take the keys itself, as the sheet does; otherwise one comes from above everything.
            assert here or "To the work" in seen[0][1], place
            assert len(set(seen)) > 10, place


def test_fingers_hit_what_they_are_to_touch_and_nothing_moves_by_itself(served: Served) -> None:
    found: dict[str, object] = {}
    with opened(served.address) as page:
        browser = page.context.browser
        assert browser is not None
        context = browser.new_context(
            viewport={"width": 1180, "height": 820}, has_touch=True, is_mobile=True, reduced_motion="reduce"
        )
        tablet = context.new_page()
        tablet.set_default_timeout(20_000)
        tablet.goto(served.address)
        for place in PLACES:
            look(tablet, served, place)
            assert tablet.evaluate("matchMedia('(pointer: coarse)').matches")
            found[place] = tablet.evaluate(f"[probes.small({TOUCH}), probes.moving(), probes.wide() <= 0]")
    assert found == {place: [[], [], True] for place in found}
