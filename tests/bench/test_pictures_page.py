"""Found pictures in a real browser: brought, told of, made fit."""

from __future__ import annotations

import json
from pathlib import Path

from playwright.sync_api import expect
from tests.bench.browser import opened
from tests.bench.conftest import Served
from tests.bench.test_pictures import photograph

DROP = """([name, bytes]) => {
  const moved = new DataTransfer();
  moved.items.add(new File([new Uint8Array(bytes)], name, { type: "image/png" }));
  for (const kind of ["dragover", "drop"])
    document.getElementById("place").dispatchEvent(
      new DragEvent(kind, { dataTransfer: moved, bubbles: true, cancelable: true }));
}"""
PASTE = """([name, bytes]) => {
  const copied = new DataTransfer();
  copied.items.add(new File([new Uint8Array(bytes)], name, { type: "image/png" }));
  document.dispatchEvent(
    new ClipboardEvent("paste", { clipboardData: copied, bubbles: true, cancelable: true }));
}"""


def document(served: Served, name: str) -> str:
    return (served.film / "pictures" / f"{name}.toml").read_text(encoding="utf-8")


def test_pictures_are_chosen_dropped_and_pasted_and_told_of_on_their_cards(
    served: Served, tmp_path: Path
) -> None:
    base = served.address.split("/?")[0]
    chosen = tmp_path / "chosen.png"
    chosen.write_bytes(photograph(seed=1))
    with opened(served.address) as page:
        page.goto(f"{base}/pictures")
        page.get_by_label("pictures to bring").set_input_files(chosen)
        mine = page.locator("article[data-name=chosen]")
        expect(mine.get_by_role("img", name="not known")).to_be_visible()
        for way, name, seed in ((DROP, "dropped", 2), (PASTE, "pasted", 3)):
            page.evaluate(way, [f"{name}.png", list(photograph(seed=seed))])
            expect(page.locator(f"article[data-name={name}]")).to_be_visible()
        mine.get_by_label("chosen: found in").fill("a drawer, 3rd from above")
        mine.get_by_label("chosen: licence").fill("CC0-1.0")
        mine.get_by_label("chosen: licence").press("Enter")
        expect(mine.get_by_role("img", name="not known")).to_have_count(0)
        assert 'source = "a drawer, 3rd from above"' in document(served, "chosen")
        assert 'licence = "CC0-1.0"' in document(served, "chosen")


def test_a_scan_is_laid_level_cropped_and_kept(served: Served, tmp_path: Path) -> None:
    base = served.address.split("/?")[0]
    scan = tmp_path / "scan.png"
    scan.write_bytes(photograph(480, 320))
    with opened(served.address) as page:
        page.goto(f"{base}/pictures")
        page.get_by_label("pictures to bring").set_input_files(scan)
        page.get_by_role("link", name="open scan").click()
        assert page.url == f"{base}/pictures/scan"
        canvas = page.locator(".pictures-light")
        box = canvas.bounding_box()
        assert box
        page.get_by_role("button", name="Level line").click()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x - 150, y - 60)
        page.mouse.down()
        page.mouse.move(x + 150, y - 60 + 300 * 0.0524, steps=5)
        page.mouse.up()
        turned = page.get_by_label("turn by degrees, anticlockwise")
        # 300 pixels to the right and 15.7 down are 3°, to the whole pixels that a mouse has.
        assert abs(float(turned.input_value()) - 3) < 0.2
        turned.fill("2.5")
        turned.press("Enter")
        page.get_by_role("button", name="Crop").click()
        page.mouse.move(x - 100, y - 80)
        page.mouse.down()
        page.mouse.move(x + 100, y + 40, steps=5)
        page.mouse.up()
        page.get_by_role("button", name="Keep").click()
        expect(page.get_by_role("button", name="Keep")).to_be_disabled()
        expect(page.get_by_role("button", name="Undo")).to_be_enabled()
        told = page.evaluate("async () => JSON.stringify(await (await fetch('/api/pictures')).json())")
        (one,) = (p for p in json.loads(told)["pictures"] if p["name"] == "scan")
        assert one["document"]["fit"]["straighten"] == 2.5
        left, top, width, height = one["document"]["fit"]["crop"]
        assert abs(width / height - 200 / 120) < 0.05
        assert 0 < left < left + width < 480
        assert 0 < top < top + height < 320
        page.keyboard.press("Control+z")
        expect(turned).to_have_value("0")
        page.go_back()
        assert page.url == f"{base}/pictures"
