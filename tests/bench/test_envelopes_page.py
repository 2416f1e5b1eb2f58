"""Envelopes in a real browser: a character is begun, laid out, pinned, stacked and bent."""

from __future__ import annotations

from playwright.sync_api import expect
from tests.bench.browser import opened
from tests.bench.conftest import Served

from splitpin.folder.load import load


def test_a_character_is_begun_and_its_pieces_pinned_by_hand(served: Served) -> None:
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        page.evaluate("localStorage.setItem('splitpin-walk', '99')")
        page.goto(f"{base}/envelopes")
        expect(page.get_by_role("link", name="Cat: 3 pieces")).to_be_visible()
        page.get_by_label("its name").fill("pair")
        choice = page.get_by_role("group", name="cut-outs")
        choice.get_by_title("ball").click()
        choice.get_by_title("head").click()
        page.get_by_role("button", name="Begin").click()
        page.wait_for_url("**/envelopes/pair")

        # The topmost piece is taken and laid 60 pixels up.
        canvas = page.get_by_label("the figure at rest")
        rows = page.get_by_role("listbox").get_by_role("option")
        expect(rows).to_have_count(2)
        rows.first.click()
        expect(rows.first).to_have_attribute("aria-selected", "true")
        page.wait_for_timeout(300)
        box = canvas.bounding_box()
        assert box
        middle = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(*middle)
        page.mouse.down()
        page.mouse.move(middle[0], middle[1] - 60, steps=5)
        page.mouse.up()
        undo = page.get_by_role("button", name="Undo")
        expect(undo).to_have_attribute("title", "take back: lay head (Ctrl+Z)")
        lain = load(served.film).characters["pair"].pieces["ball"].pins["head"]
        # The head's pin lay in the middle of the ball, 5 pixels from its left and its top.
        assert lain[0] == 5
        assert lain[1] < 4

        # Its pin is set by key and click; the pile by key; the pin's place is a step like any other.
        page.keyboard.press("p")
        expect(page.get_by_text("Click where head shall turn.")).to_be_visible()
        page.mouse.click(middle[0] + 5, middle[1] + 5)
        expect(undo).to_have_attribute("title", "take back: pin head (Ctrl+Z)")
        page.keyboard.press("Alt+ArrowDown")
        expect(rows.first.locator("b")).to_have_text("ball")
        assert load(served.film).characters["pair"].order == ["head", "ball"]
        page.keyboard.press("Control+z")
        expect(rows.first.locator("b")).to_have_text("head")
        assert load(served.film).characters["pair"].order == ["ball", "head"]

        # A limit is written, and the joint bends as far.
        page.get_by_label("least angle, degrees").fill("-20")
        page.get_by_label("greatest angle, degrees").fill("10")
        page.get_by_label("greatest angle, degrees").press("Tab")
        slider = page.get_by_label("bend the joint")
        expect(slider).to_have_attribute("max", "15")
        page.get_by_role("heading", name="head").click()
        page.keyboard.press("]")
        expect(page.locator(".envelopes-slide output")).to_contain_text("+2°")


def test_an_address_opens_a_piece_and_a_missing_envelope_says_so(served: Served) -> None:
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        page.goto(f"{base}/envelopes/cat?piece=mouth")
        expect(page.get_by_role("heading", name="mouth")).to_be_visible()
        expect(page.get_by_role("group", name="what may lie in its place")).to_contain_text("shut")
        page.keyboard.press("ArrowDown")
        expect(page.get_by_role("heading", name="head")).to_be_visible()
        assert page.url.endswith("piece=head")
        page.goto(f"{base}/envelopes/nobody")
        expect(page.get_by_role("heading", name="No such envelope")).to_be_visible()
