"""The sheet in a real browser: go about it by keys, set values by hand, copy them, take them back."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import expect
from tests.bench.browser import opened
from tests.bench.conftest import Served
from tests.bench.test_board_page import to

from splitpin.character.pose import Value
from splitpin.folder.load import load
from splitpin.jobs.sheet import sheet_of

LONG = """\
format = 1
background = "hill"

[[panels]]
name = "long"
frames = 10000

[cast.ball]
cutout = "ball"

[[moves]]
move = "slide"
who = "ball"
to = [40.0, 0.0]
positions = 5000
"""


def heads(root: Path) -> dict[int, Value]:
    return {row.frame: row.poses["cat"]["head.angle"] for row in sheet_of(root, "010-hill").sheet.rows}


def test_a_value_is_set_by_hand_copied_onto_other_exposures_and_let_go(served: Served) -> None:
    with opened(served.address) as page:
        to(page, served, "/sheet/010-hill")
        paper = page.get_by_role("grid", name="exposures")
        expect(paper).to_be_focused()
        expect(page.locator(".sheet-values h2, .sheet-side h2")).to_have_text("cat")
        page.keyboard.press("ArrowDown")
        expect(page.locator(".sheet-when")).to_contain_text("frame 2")
        page.wait_for_timeout(400)
        page.keyboard.press("Enter")
        head = page.get_by_role("group", name="head").get_by_label("angle")
        head.fill("33")
        head.press("Enter")
        expect(paper).to_be_focused()
        expect(page.locator("#line-1 .touched")).to_contain_text("33°")
        assert heads(served.film)[2] == 33
        page.keyboard.press("Control+c")
        page.keyboard.press("ArrowDown")
        page.keyboard.press("Control+v")
        expect(page.locator("#line-2 .touched")).to_have_count(1)
        assert heads(served.film)[4] == 33
        page.keyboard.press("Shift+ArrowUp")
        page.keyboard.press("Delete")
        expect(page.locator("#line-1 .touched")).to_have_count(0)
        assert heads(served.film)[4] != 33
        page.keyboard.press("Control+z")
        expect(page.locator("#line-1 .touched")).to_have_count(1)


def test_exposures_are_held_longer_lifted_and_taken_out_and_the_scene_follows(served: Served) -> None:
    def frames() -> int:
        return sheet_of(served.film, "010-hill").sheet.frames

    with opened(served.address) as page:
        to(page, served, "/sheet/010-hill")
        long = page.locator(".sheet-head p")
        expect(long).to_contain_text("12 frames")
        page.keyboard.press("ArrowDown")
        page.keyboard.press("4")
        expect(page.locator("#line-1 .longer")).to_have_text("4")
        expect(long).to_contain_text("14 frames")
        page.keyboard.press("]")
        expect(page.locator("#line-1 .longer")).to_have_text("5")
        page.keyboard.press("l")
        expect(long).to_contain_text("12 frames")
        page.keyboard.press("x")
        expect(long).to_contain_text("5 exposures")
        assert frames() == 10
        page.keyboard.press("Control+z")
        expect(long).to_contain_text("6 exposures")
        assert frames() == 12


def test_what_happens_is_written_beside_the_lines(served: Served) -> None:
    with opened(served.address) as page:
        to(page, served, "/sheet/010-hill")
        page.keyboard.press("ArrowLeft")
        page.wait_for_timeout(400)
        page.keyboard.press("Enter")
        page.get_by_label("what happens").fill("The cat looks up.")
        page.keyboard.press("Enter")
        expect(page.locator(".sheet-block").first).to_contain_text("The cat looks up.")
        assert load(served.film).scenes["010-hill"].panels[0].action == "The cat looks up."


def test_an_address_leads_to_an_exposure(served: Served) -> None:
    with opened(served.address) as page:
        to(page, served, "/sheet/020-sea?frame=3")
        expect(page.locator(".sheet-when")).to_contain_text("frame 3, held 3")
        page.keyboard.press("Control+PageUp")
        page.wait_for_url("**/sheet/010-hill**")


def test_of_five_thousand_lines_only_those_in_sight_are_there(served: Served) -> None:
    (served.film / "scenes/020-sea.toml").write_text(LONG, encoding="utf-8")
    with opened(served.address) as page:
        to(page, served, "/sheet/020-sea")
        paper = page.get_by_role("grid", name="exposures")
        expect(paper).to_have_attribute("aria-rowcount", "5001")
        for key, frame in (("End", 9998), ("PageUp", None), ("Home", 0)):
            page.keyboard.press(key)
            if frame is not None:
                expect(page.locator(".sheet-when")).to_contain_text(f"frame {frame},")
            assert page.locator(".sheet-line").count() < 60
