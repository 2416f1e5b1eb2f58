"""The whole job on one desk, by hand: from nothing to a film that is taken away."""

from __future__ import annotations

import io
import re
from pathlib import Path

import av
import cv2
import numpy as np
from PIL import Image
from playwright.sync_api import Page, expect
from tests.bench.browser import opened
from tests.bench.conftest import Served
from tests.bench.test_mat_page import Hand

WIDTH, HEIGHT = 360, 240
SMALL = """async () => fetch("/api/edits", {
  method: "POST", headers: { "content-type": "application/json" },
  body: JSON.stringify({ label: "small", edits: [
    { document: "film.toml", path: ["picture"], value: [320, 180] }] }) })"""
SCENE = "async () => (await (await fetch('/api/film')).json()).film.scenes[0]"
FIELD = "async () => (await (await fetch('/api/film')).json()).film.field_mm"
BODY, HEAD = (120, 150, 62), (265, 110, 42)
"""Middles and radius of two discs, pixels."""


def photograph(folder: Path) -> Path:
    """Two things on grained paper, at 254 pixels to the inch: ten to a millimetre."""
    rng = np.random.default_rng(11)
    rgb = np.repeat(rng.integers(175, 200, (HEIGHT, WIDTH, 1)), 3, axis=2).astype(np.uint8)
    cv2.circle(rgb, BODY[:2], BODY[2], (40, 70, 150), -1, cv2.LINE_AA)
    cv2.circle(rgb, HEAD[:2], HEAD[2], (190, 50, 40), -1, cv2.LINE_AA)
    out = io.BytesIO()
    Image.fromarray(rgb).save(out, "PNG", dpi=(254, 254))
    (folder / "found.png").write_bytes(out.getvalue())
    return folder / "found.png"


def cut(page: Page, base: str, thing: tuple[int, int, int], name: str) -> None:
    page.goto(f"{base}/mat/found")
    page.wait_for_selector("#ready", state="attached")
    page.locator(".mat-green canvas").wait_for()
    page.wait_for_load_state("networkidle")
    hand = Hand(page, WIDTH, HEIGHT)
    x, y, radius = thing
    angles = np.linspace(0, 2 * np.pi * 1.05, 25)
    hand.draw(*[(x + (radius + 9) * np.cos(a), y + (radius + 9) * np.sin(a)) for a in angles])
    page.get_by_label("the cut-out's name").fill(name)
    page.get_by_role("button", name="Cut it out").click()
    page.wait_for_url(f"{base}/mat/cutout/{name}", timeout=60_000)


def place(page: Page, x: float, y: float, field: tuple[float, float]) -> tuple[float, float]:
    """Where a place on the table is seen."""
    box = page.locator(".table-top canvas").bounding_box()
    assert box is not None
    scale = min((box["width"] - 32) / (field[0] * 1.14), (box["height"] - 32) / (field[1] * 1.14))
    return box["x"] + box["width"] / 2 + x * scale, box["y"] + box["height"] / 2 - y * scale


def test_from_nothing_to_a_film(served: Served, tmp_path: Path) -> None:
    base = served.address.split("/?")[0]
    root = tmp_path / "boat"
    with opened(served.address) as page:
        page.evaluate("localStorage.setItem('splitpin-walk', '99')")
        # A film is begun.
        page.goto(f"{base}/shelf")
        page.get_by_label("its folder").first.fill(str(root))
        page.get_by_role("button", name="Begin").click()
        page.wait_for_url(f"{base}/board")
        expect(page.locator("#strip .film")).to_have_text("boat")
        # Small pictures are quicker to make.
        page.evaluate(SMALL)

        # A picture is brought, and two things are cut out of it.
        page.goto(f"{base}/pictures")
        page.get_by_label("pictures to bring").set_input_files(photograph(tmp_path))
        expect(page.locator("article[data-name=found]")).to_be_visible()
        cut(page, base, BODY, "body")
        cut(page, base, HEAD, "head")

        # They become a figure of two pieces.
        page.goto(f"{base}/envelopes")
        page.get_by_label("its name").fill("pair")
        choice = page.get_by_role("group", name="cut-outs")
        choice.get_by_title("body").click()
        choice.get_by_title("head").click()
        page.get_by_role("button", name="Begin").click()
        page.wait_for_url(f"{base}/envelopes/pair")
        expect(page.get_by_role("listbox").get_by_role("option")).to_have_count(2)

        # Two cards on the board: a new film has a scene with two already; a third is put in and taken out.
        page.goto(f"{base}/board")
        cards = page.locator(".board-card")
        expect(cards.first).to_be_visible()
        count = cards.count()
        cards.first.focus()
        page.keyboard.press("n")
        expect(cards).to_have_count(count + 1)
        page.keyboard.press("Control+z")
        expect(cards).to_have_count(count)
        expect(page.get_by_role("button", name="Redo")).to_be_enabled()
        page.wait_for_load_state("networkidle")
        first = cards.first
        first.get_by_label("seconds").fill("1.5")
        first.get_by_label("seconds").press("Enter")
        expect(first.locator(".board-frames")).to_have_text("36 frames")
        total = page.locator(".board-total")
        expect(total).to_contain_text("frames")

        # On the table: the figure is laid on, slides, bends.
        page.goto(f"{base}/table")
        page.wait_for_selector("#ready", state="attached")
        page.get_by_label("who comes onto the table").select_option("character:pair")
        expect(page.locator(".table-cast")).to_contain_text("pair")
        page.wait_for_load_state("networkidle")
        field = (
            float(page.evaluate("(async () => (await (await fetch('/api/film')).json()).film.field_mm)()")),
            0.0,
        )
        field = (field[0], field[0] * 9 / 16)
        page.get_by_role("button", name="Carry").click()
        page.keyboard.press("l")
        page.mouse.move(*place(page, 0, 0, field))
        page.mouse.down()
        page.mouse.move(*place(page, 20, 0, field), steps=6)
        page.mouse.up()
        slip = page.locator(".table-slip.new")
        expect(slip.get_by_label("which move")).to_have_value("slide")
        slip.get_by_label("seconds").fill("0.5")
        slip.get_by_role("button", name="Lay it").click()
        expect(page.locator(".table-moves")).to_contain_text("slide")
        page.get_by_role("button", name="Close").click()
        page.get_by_role("button", name="kinds").click()
        card = page.get_by_role("dialog", name="kinds of moves")
        card.get_by_role("button", name=re.compile("^bend ")).click()
        slip.get_by_label("piece").select_option("head")
        slip.get_by_label("to", exact=True).fill("20")
        slip.get_by_label("seconds").fill("0.5")
        slip.get_by_role("button", name="Lay it").click()
        expect(page.locator(".table-moves")).to_contain_text("bend")
        page.get_by_role("button", name="Close").click()

        # Three exposures straight ahead, after the moves.
        page.goto(f"{page.url.split('?')[0]}?frame=24")
        page.wait_for_selector("#ready", state="attached")
        page.wait_for_load_state("networkidle")
        page.get_by_role("button", name="pair", exact=True).click()
        for n in range(3):
            right = page.get_by_label("right, mm")
            right.fill(str(25 + 5 * n))
            right.press("Enter")
            expect(page.get_by_role("button", name="Undo")).to_be_enabled()
            expect(right).to_have_value(str(25 + 5 * n))
            page.locator(".table-column").focus()
            page.keyboard.press("e")
            expect(page.locator(".table-time")).to_contain_text(f"{14 + n} of")

        # A sound is cued on the sheet.
        scene = page.evaluate(SCENE)
        page.goto(f"{base}/sheet/{scene}?frame=12")
        page.wait_for_selector("#ready", state="attached")
        expect(page.locator(".sheet-line").first).to_be_visible()
        page.keyboard.press("s")
        sounds = page.get_by_role("dialog", name="sounds of the scene")
        sounds.get_by_label("which sound").select_option("thud")
        sounds.get_by_role("button", name="Hang it").click()
        expect(sounds.locator("li b")).to_have_text("thud.wav")
        sounds.get_by_role("button", name="Away with it").click()

        # It plays, is made, and taken away.
        page.goto(f"{base}/reel")
        page.wait_for_selector("#ready", state="attached")
        head = page.locator(".reel-time")
        expect(head).to_contain_text("frame 0 of")
        frames = int(re.findall(r"of (\d+)", head.inner_text())[0])
        page.keyboard.press("Space")
        expect(page.get_by_role("button", name="Stop")).to_be_visible()
        expect(head).not_to_contain_text("frame 0 of")
        page.keyboard.press("Space")
        page.keyboard.press("m")
        link = page.locator("a[download]", has_text=".mp4").first
        expect(link).to_be_visible(timeout=120_000)
        with page.expect_download() as taken:
            link.click()
        film = tmp_path / "taken.mp4"
        taken.value.save_as(film)

    with av.open(str(film)) as found:
        pictures = [frame.to_ndarray(format="rgb24") for frame in found.decode(video=0)]
    with av.open(str(film)) as found:
        blocks = [frame.to_ndarray() for frame in found.decode(audio=0)]
    assert len(pictures) == frames
    assert any(np.abs(a.astype(int) - b).max() > 60 for a, b in zip(pictures, pictures[12:], strict=False))
    loud = np.concatenate([np.abs(block).max(axis=0) for block in blocks])
    assert loud.max() > 0.02
    # The thud comes with frame 12, half a second on: nothing is heard before.
    assert abs(int(np.argmax(loud > 0.02)) / 48_000 - 0.5) < 0.08
