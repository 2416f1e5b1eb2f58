"""The cutting mat in a real browser: from a rough loop to a cut-out, a mended wall and a figure in parts."""

from __future__ import annotations

import io
import tomllib
from math import cos, pi, sin
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from PIL import Image
from playwright.sync_api import Page, expect
from tests.bench.browser import opened
from tests.bench.conftest import Served

WIDTH, HEIGHT, MIDDLE, RADIUS = 300, 240, (150, 120), 60


def bring_disc(page: Page, folder: Path, base: str) -> None:
    """A red disc on grained grey paper."""
    rng = np.random.default_rng(5)
    rgb = np.repeat(rng.integers(150, 175, (HEIGHT, WIDTH, 1)), 3, axis=2).astype(np.uint8)
    cv2.circle(rgb, MIDDLE, RADIUS, (190, 40, 30), -1, cv2.LINE_AA)
    out = io.BytesIO()
    Image.fromarray(rgb).save(out, "PNG", dpi=(254, 254))
    (folder / "disc.png").write_bytes(out.getvalue())
    page.goto(f"{base}/pictures")
    page.get_by_role("button", name="No walk").click()
    page.get_by_label("pictures to bring").set_input_files(folder / "disc.png")
    expect(page.locator("article[data-name=disc]")).to_be_visible()


class Hand:
    """The mouse, in pixels of what lies on the mat."""

    def __init__(self, page: Page, width: int, height: int) -> None:
        self._mouse = page.mouse
        box = page.locator(".mat-green canvas").bounding_box()
        assert box
        # As the easel shows all of a thing: 16 pixels of the screen stay free around it.
        self._scale = min((box["width"] - 32) / width, (box["height"] - 32) / height)
        self._x = box["x"] + (box["width"] - width * self._scale) / 2
        self._y = box["y"] + (box["height"] - height * self._scale) / 2

    def _at(self, x: float, y: float) -> tuple[float, float]:
        return self._x + x * self._scale, self._y + y * self._scale

    def draw(self, *points: tuple[float, float]) -> None:
        """Along points without lifting."""
        for n, (x, y) in enumerate(points):
            self._mouse.move(*self._at(x, y), steps=1 if n == 0 else 4)
            if n == 0:
                self._mouse.down()
        self._mouse.up()

    def tap(self, x: float, y: float) -> None:
        """Once."""
        self.draw((x, y))


def round_about(radius: float, turns: float = 1.05, n: int = 24) -> list[tuple[float, float]]:
    return [
        (MIDDLE[0] + radius * cos(2 * pi * turns * k / n), MIDDLE[1] + radius * sin(2 * pi * turns * k / n))
        for k in range(n + 1)
    ]


def document(served: Served, kind: str, name: str) -> dict[str, Any]:
    return tomllib.loads((served.film / kind / f"{name}.toml").read_text(encoding="utf-8"))


def test_a_rough_loop_becomes_a_cutout_that_is_gone_on_with_mended_and_parted(
    served: Served, tmp_path: Path
) -> None:
    base = served.address.split("/?")[0]
    state = ".mat-state"
    with opened(served.address, 1280, 900) as page:
        bring_disc(page, tmp_path, base)
        page.goto(f"{base}/mat")
        page.get_by_role("link", name="disc").click()
        assert page.url == f"{base}/mat/disc"
        expect(page.get_by_role("button", name="Cut it out")).to_be_disabled()
        hand = Hand(page, WIDTH, HEIGHT)
        # The hand runs over its own beginning, as hands do.
        hand.draw(*round_about(80))
        expect(page.locator(state)).to_contain_text("px,", timeout=30_000)
        page.get_by_label("ink along the cut edge, mm").fill("0.4")
        page.get_by_label("ink along the cut edge, mm").press("Tab")
        page.get_by_label("the cut-out's name").fill("sun")
        page.get_by_role("button", name="Cut it out").click()
        page.wait_for_url(f"{base}/mat/cutout/sun")
        told = document(served, "cutouts", "sun")
        assert told["recipe"]["ink_mm"] == 0.4
        assert len(told["recipe"]["loop"]) >= 8
        assert abs(told["width_mm"] - 12.1) < 0.6

        # What is drawn and not cut yet is there after a reload; a stroke is taken back.
        expect(page.get_by_role("button", name="Cut it anew")).to_be_disabled()
        hand = Hand(page, WIDTH, HEIGHT)
        page.keyboard.press("x")
        hand.draw((150, 50), (150, 190))
        again = page.get_by_role("button", name="Cut it anew")
        expect(again).to_be_enabled()
        page.reload()
        expect(again).to_be_enabled()
        again.click()
        expect(again).to_be_disabled(timeout=30_000)
        assert len(document(served, "cutouts", "sun")["recipe"]["drop"]) == 1
        page.locator(".mat-green canvas").focus()
        page.keyboard.press("Control+z")
        expect(page.get_by_role("button", name="Redo")).to_be_enabled(timeout=30_000)
        assert "drop" not in document(served, "cutouts", "sun")["recipe"]

        page.get_by_label("the mended background's name").fill("paper")
        page.get_by_role("button", name="Mend it").click()
        expect(page.locator(".slip", has_text="paper is mended")).to_be_visible(timeout=30_000)
        assert document(served, "cutouts", "paper")["recipe"]["piece"] == "sun"

        page.get_by_role("link", name="Part it at its joints").click()
        assert page.url == f"{base}/mat/split/sun"
        size = page.evaluate("async () => (await (await fetch('/api/film')).json()).documents.cutouts.sun")
        hand = Hand(page, size["width"], size["height"])
        hand.draw((40, -6), (40, size["height"] + 6))
        page.get_by_label("what part 1 is called").fill("ear")
        page.get_by_label("what part 1 is called").press("Enter")
        page.get_by_label("lines stay as drawn").check()
        part = page.get_by_role("button", name="Part it")
        expect(part).to_be_enabled(timeout=30_000)
        part.click()
        page.wait_for_url(f"{base}/envelopes/sun")
        assert set(document(served, "characters", "sun")["pieces"]) == {"body", "ear"}


def test_the_knife_follows_the_edge_and_closes_at_its_first_point(served: Served, tmp_path: Path) -> None:
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        bring_disc(page, tmp_path, base)
        page.goto(f"{base}/mat/disc")
        expect(page.locator(".mat-tools")).to_be_visible()
        page.wait_for_load_state("networkidle")
        page.keyboard.press("k")
        hand = Hand(page, WIDTH, HEIGHT)
        for n in range(5):
            with page.expect_response(lambda answer: answer.url.endswith("/edge")):
                hand.tap(150 + 61.5 * cos(2 * pi * n / 5), 120 + 61.5 * sin(2 * pi * n / 5))
            page.wait_for_timeout(150)
        hand.tap(150 + 60.5, 120)
        page.get_by_label("the cut-out's name").fill("coin")
        page.get_by_role("button", name="Cut it out").click()
        page.wait_for_url(f"{base}/mat/cutout/coin")
        recipe = document(served, "cutouts", "coin")["recipe"]
        assert recipe["edge"] == "knife"
        for x, y in recipe["knife"]:
            assert abs(np.hypot(x - MIDDLE[0] - 0.5, y - MIDDLE[1] - 0.5) - RADIUS) < 1.5
        with Image.open(served.film / "cutouts" / "coin.png") as cut:
            covered = np.asarray(cut)[..., 3].sum() / 255
        assert abs(covered - pi * RADIUS**2) < 0.02 * pi * RADIUS**2


def test_a_loop_is_set_by_keys_alone(served: Served, tmp_path: Path) -> None:
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        bring_disc(page, tmp_path, base)
        page.goto(f"{base}/mat/disc")
        canvas = page.locator(".mat-green canvas")
        expect(canvas).to_be_visible()
        page.wait_for_load_state("networkidle")
        canvas.focus()
        # From the middle, 12 pixels of the screen a press: a square around the disc.
        for key, times in (("ArrowLeft", 14), ("ArrowUp", 14), ("", 0), ("ArrowRight", 28), ("", 0)):
            for _ in range(times):
                page.keyboard.press(key)
            if not key:
                page.keyboard.press("Enter")
        for key in ("ArrowDown", "ArrowLeft"):
            for _ in range(28):
                page.keyboard.press(key)
            page.keyboard.press("Enter")
        page.keyboard.press("c")
        expect(page.locator(".mat-state")).to_contain_text("px,", timeout=30_000)
        expect(page.get_by_role("button", name="Cut it out")).to_be_enabled()
