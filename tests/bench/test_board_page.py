"""The board in a real browser: write, draw, speak, lay in another order, play."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image
from playwright.sync_api import Page, expect
from tests.bench.browser import opened
from tests.bench.conftest import Served

from splitpin.folder.load import load
from splitpin.scene.scene import Scene

FAKE = ("--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream")


def hill(root: Path) -> Scene:
    folder = load(root)
    assert folder.mistakes == ()
    return folder.scenes["010-hill"]


def to(page: Page, served: Served, path: str) -> None:
    page.evaluate("localStorage.setItem('splitpin-walk', '99')")
    page.goto(f"{served.address.split('/?')[0]}{path}")
    page.wait_for_selector("#ready", state="attached")


def test_a_card_is_put_in_written_on_made_longer_and_taken_back_by_keys(served: Served) -> None:
    with opened(served.address) as page:
        to(page, served, "/board")
        expect(page.locator(".board-card")).to_have_count(3)
        page.locator(".board-card").first.focus()
        page.keyboard.press("n")
        new = page.get_by_role("listitem", name="card panel-3")
        expect(new).to_be_focused()
        page.keyboard.press("Enter")
        page.keyboard.type("It rains.")
        page.keyboard.press("Enter")
        expect(new).to_be_focused()
        page.keyboard.press("+")
        expect(new.locator(".board-frames")).to_have_text("49 frames")
        new.get_by_label("seconds").fill("1.5")
        new.get_by_label("seconds").press("Enter")
        expect(page.locator(".board-total")).to_contain_text("4 cards")
        expect(new.locator(".board-frames")).to_have_text("36 frames")
        page.keyboard.press("Control+ArrowRight")
        expect(page.locator(".board-card").nth(2)).to_have_attribute("data-panel", "panel-3")
        assert [(p.name, p.action) for p in hill(served.film).panels][2] == ("panel-3", "It rains.")
        for _ in range(5):
            page.keyboard.press("Control+z")
            page.wait_for_timeout(150)
        expect(page.locator(".board-card")).to_have_count(3)
        assert [p.name for p in hill(served.film).panels] == ["waits", "goes"]


def test_a_card_is_dragged_by_its_pin(served: Served) -> None:
    with opened(served.address) as page:
        to(page, served, "/board")
        grip = page.get_by_role("listitem", name="card waits").locator(".board-pin").bounding_box()
        goal = page.get_by_role("listitem", name="card goes").bounding_box()
        assert grip
        assert goal
        page.mouse.move(grip["x"] + 8, grip["y"] + 8)
        page.mouse.down()
        page.mouse.move(goal["x"] + goal["width"] * 0.9, goal["y"] + 60, steps=6)
        page.mouse.up()
        expect(page.locator(".board-card").first).to_have_attribute("data-panel", "goes")
        assert [p.name for p in hill(served.film).panels] == ["goes", "waits"]


def test_what_is_drawn_on_a_card_is_in_the_film_and_each_stroke_can_be_taken_back(served: Served) -> None:
    with opened(served.address) as page:
        to(page, served, "/board/010-hill/goes")
        paper = page.locator(".easel canvas").bounding_box()
        assert paper
        x, y = paper["x"] + paper["width"] / 2, paper["y"] + paper["height"] / 2
        page.keyboard.press("i")
        page.mouse.move(x - 80, y)
        page.mouse.down()
        page.mouse.move(x + 80, y, steps=8)
        page.mouse.up()
        undo = page.get_by_role("button", name="Undo")
        expect(undo).to_have_attribute("title", "take back: draw on goes (Ctrl+Z)")
        file = served.film / "board/010-hill-goes.png"
        picture = np.asarray(Image.open(file).convert("L"))
        middle = picture[picture.shape[0] // 2 - 3 : picture.shape[0] // 2 + 4]
        assert (middle.min(axis=0) < 80).sum() > 150
        assert hill(served.film).panels[1].drawing == "board/010-hill-goes.png"
        page.keyboard.press("Control+z")
        expect(undo).to_be_disabled()
        assert not file.exists()
        page.keyboard.press("Escape")
        expect(page.locator(".board-card")).to_have_count(3)


def test_a_voice_is_recorded_onto_a_card_and_heard_when_the_board_is_played(served: Served) -> None:
    with opened(served.address, 1280, 800, *FAKE) as page:
        to(page, served, "/board")
        card = page.get_by_role("listitem", name="card goes")
        card.focus()
        page.keyboard.press("v")
        expect(card.get_by_role("button", name="stop")).to_contain_text("1.", timeout=10_000)
        page.keyboard.press("v")
        expect(card.locator(".board-voice")).to_have_text("voice")
        (cue,) = [cue for cue in hill(served.film).cues if cue.kind == "voice"]
        assert (cue.panel, cue.sound) == ("goes", "scratch-010-hill-goes.wav")
        card.focus()
        page.keyboard.press("Space")
        expect(page.locator(".board-screen")).to_be_visible()
        expect(page.locator(".board-screen")).to_be_hidden(timeout=15_000)
