"""The table in a real browser: a hand, straight-ahead work, moves laid by dragging."""

from __future__ import annotations

import tomllib
from typing import Any

from playwright.sync_api import Page, expect
from tests.bench.browser import opened
from tests.bench.conftest import Served

AROUND = 1.14
FIELD = (128.0, 72.0)
"""Of the tiny film, mm."""


def at_table(page: Page, served: Served, frame: int = 0) -> None:
    page.evaluate("localStorage.setItem('splitpin-walk', '6')")
    page.goto(f"{served.address.split('/?')[0]}/table/010-hill?frame={frame}")
    page.wait_for_selector("#ready", state="attached")
    expect(page.locator(".table-time")).to_contain_text("of 6")
    page.locator(".table-top canvas").wait_for()
    page.wait_for_load_state("networkidle")


def on_screen(page: Page, x: float, y: float) -> tuple[float, float]:
    """Where a place on the table is seen, while all of it is seen."""
    box = page.locator(".table-top canvas").bounding_box()
    assert box is not None
    scale = min((box["width"] - 32) / (FIELD[0] * AROUND), (box["height"] - 32) / (FIELD[1] * AROUND))
    return box["x"] + box["width"] / 2 + x * scale, box["y"] + box["height"] / 2 - y * scale


def drag(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    x0, y0 = on_screen(page, *start)
    x1, y1 = on_screen(page, *end)
    page.mouse.move(x0, y0)
    page.mouse.down()
    page.mouse.move((x0 + x1) / 2, (y0 + y1) / 2, steps=4)
    page.mouse.move(x1, y1, steps=4)
    page.mouse.up()


def scene(served: Served) -> dict[str, Any]:
    text = (served.film / "scenes/010-hill.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def posed(served: Served) -> list[dict[str, Any]]:
    return [move for move in scene(served)["moves"] if move["move"] == "posed"]


def test_straight_ahead_pose_expose_and_go_on(served: Served) -> None:
    with opened(served.address) as page:
        at_table(page, served, 2)
        x = -20.0  # the cat's pin, the middle of its body; the ball covers most of that
        for n in range(3):
            drag(page, (x - 8, -4), (x - 4, -4))
            x += 4
            expect(page.get_by_role("button", name="Undo")).to_be_enabled()
            expect(page.locator(".table-card h3").first).to_have_text("cat")
            expect(page.get_by_label("right, mm")).to_have_value(str(round(x, 2)).removesuffix(".0"))
            page.keyboard.press("e")
            expect(page.locator(".table-time")).to_contain_text(f"{n + 3} of 6")
    (run,) = posed(served)
    assert [round(one["x"]) for one in run["values"]] == [-16, -12, -8]


def test_a_slide_and_a_bend_are_laid_by_dragging_and_a_tick_is_drawn(served: Served) -> None:
    with opened(served.address) as page:
        at_table(page, served)
        page.keyboard.press("l")
        drag(page, (-28, -4), (2, -4))
        slip = page.locator(".table-slip.new")
        expect(slip.get_by_label("which move")).to_have_value("slide")
        slip.get_by_label("seconds").fill("0.25")
        slip.get_by_role("button", name="Lay it").click()
        shown = page.locator(".table-moves button[aria-pressed='true']")
        expect(shown).to_contain_text("slide")
        # Its last tick, frame 6, is where it ends: 30 mm on.
        drag(page, (10, 0), (14, 6))
        expect(page.get_by_label("to", exact=True)).to_have_value("14 6")
        page.get_by_role("button", name="Close").click()
        page.get_by_role("button", name="Turn").click()
        page.keyboard.press("l")
        drag(page, (-24, 13), (-28, 12))
        expect(slip.get_by_label("which move")).to_have_value("bend")
        expect(slip.get_by_label("piece")).to_have_value("mouth")
        slip.get_by_label("seconds").fill("0.25")
        slip.get_by_role("button", name="Lay it").click()
        expect(shown).to_contain_text("bend")
    moves = {move["move"]: move for move in scene(served)["moves"]}
    assert [round(one) for one in moves["slide"]["to"]] == [14, 6]
    assert moves["slide"]["seconds"] == 0.25
    assert abs(moves["bend"]["to"]) > 5


def test_a_kind_of_move_is_taken_from_its_card(served: Served) -> None:
    with opened(served.address) as page:
        at_table(page, served)
        drag(page, (-28, -4), (-28, -4))
        expect(page.locator(".table-card h3").first).to_have_text("cat")
        page.keyboard.press("v")
        card = page.get_by_role("dialog", name="kinds of moves")
        expect(card.locator(".kind")).to_have_count(25)
        card.get_by_role("button", name="hop Crouches").click()
        slip = page.locator(".table-slip.new")
        slip.get_by_label("by", exact=True).fill("12 0")
        slip.get_by_label("times").fill("2")
        slip.get_by_role("button", name="Lay it").click()
        expect(page.locator(".table-moves button[aria-pressed='true']")).to_contain_text("hop")
        page.get_by_role("button", name="Take it away").click()
        expect(page.locator(".table-moves")).not_to_contain_text("hop")
    assert [move["move"] for move in scene(served)["moves"]] == ["hold"]


def test_members_come_onto_the_table_and_go_with_all_that_is_said_of_them(served: Served) -> None:
    with opened(served.address) as page:
        at_table(page, served)
        page.get_by_label("who comes onto the table").select_option("character:cat")
        expect(page.locator(".table-cast")).to_contain_text("cat-2")
        page.get_by_role("button", name="cat-2", exact=True).click()
        page.get_by_label("right, mm").fill("33")
        page.get_by_label("right, mm").press("Enter")
        page.get_by_label("flipped").check()
        expect(page.get_by_label("flipped")).to_be_checked()
        page.get_by_label("background").select_option("")
        expect(page.get_by_label("background")).to_have_value("")
        page.get_by_role("button", name="ball", exact=True).click()
        page.get_by_role("button", name="Take ball off").click()
        expect(page.locator(".table-cast")).not_to_contain_text("ball")
    says = scene(served)
    assert says["cast"]["cat-2"] == {"character": "cat", "x": 33.0, "y": 0, "flip": True}
    assert "ball" not in says["cast"]
    assert says["order"] == ["cat"]
    assert "background" not in says


def test_the_view_is_dragged_and_the_scene_plays_to_its_end(served: Served) -> None:
    with opened(served.address) as page:
        at_table(page, served)
        page.keyboard.press("5")
        drag(page, (64, 36), (32, 18))
        expect(page.get_by_role("button", name="Undo")).to_be_enabled()
        drag(page, (0, 0), (6, 3))
        page.keyboard.press("p")
        expect(page.locator(".table-time")).to_contain_text("6 of 6")
        expect(page.get_by_role("button", name="Play")).to_be_visible()
        page.keyboard.press("Home")
        page.keyboard.press("Control+z")
        page.keyboard.press("Control+z")
        expect(page.get_by_role("button", name="Undo")).to_be_disabled()
        page.keyboard.press("Control+Shift+z")
        page.keyboard.press("Control+Shift+z")
        expect(page.get_by_role("button", name="Redo")).to_be_disabled()
    view = scene(served)["view"]
    assert (round(view["width_mm"]), round(view["x"]), round(view["y"])) == (64, 6, 3)


def test_two_windows_stand_in_step_and_a_link_leads_to_the_exposure(served: Served) -> None:
    with opened(served.address) as page:
        at_table(page, served, 4)
        expect(page.locator(".table-time")).to_contain_text("3 of 6")
        other = page.context.new_page()
        other.goto(page.url)
        other.wait_for_selector("#ready", state="attached")
        expect(other.locator(".table-time")).to_contain_text("3 of 6")
        other.get_by_role("button", name="cat", exact=True).click()
        page.get_by_role("button", name="cat", exact=True).click()
        page.locator(".table-column").focus()
        page.keyboard.press("Shift+ArrowRight")
        page.keyboard.press("Shift+ArrowRight")
        expect(page.get_by_label("right, mm")).to_have_value("-18")
        expect(other.get_by_label("right, mm")).to_have_value("-18")
