"""The reel in a real browser: frame by frame, round a scene, notes where they happen, made and taken away."""

from __future__ import annotations

from pathlib import Path

import av
from playwright.sync_api import expect
from tests.bench.browser import opened
from tests.bench.conftest import Served


def spoil(film: Path) -> None:
    """Bend the head past its limits on the last exposure of the scene of 12 frames."""
    scene = film / "scenes/010-hill.toml"
    scene.write_text(
        scene.read_text(encoding="utf-8").replace("head.angle = -3", "head.angle = -50"), encoding="utf-8"
    )


def test_frames_scenes_and_notes_are_reached_by_keys(served: Served) -> None:
    spoil(served.film)
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        page.goto(f"{base}/reel?frame=2")
        page.wait_for_selector("#ready", state="attached")
        head = page.locator(".reel-time")
        for key, frame in (
            (".", 3),
            (",", 2),
            ("ArrowRight", 4),
            ("ArrowLeft", 2),
            ("PageDown", 12),
            ("End", 17),
        ):
            page.keyboard.press(key)
            expect(head).to_contain_text(f"frame {frame} of 18")
        pin = page.locator(".ribbon-pin")
        expect(pin).to_have_count(1)
        page.keyboard.press("w")
        expect(head).to_contain_text("frame 8 of 18")
        page.keyboard.press("Home")
        page.get_by_role("region", name="to look at").get_by_role("button", name="frame 8").click()
        expect(head).to_contain_text("frame 8 of 18")
        assert page.url.endswith("frame=8")


def test_what_lies_ahead_on_the_table_is_pinned_where_it_happens(served: Served) -> None:
    """A member that stops half over the edge of the field is a thing to look at, and no mistake."""
    scene = served.film / "scenes/020-sea.toml"
    scene.write_text(
        'format = 1\n[[panels]]\nname = "calm"\nframes = 30\n[cast.ball]\ncutout = "ball"\n[[moves]]\n'
        'move = "slide"\nwho = "ball"\nto = [64, 0]\npositions = 4\n',
        encoding="utf-8",
    )
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        page.goto(f"{base}/reel?frame=2")
        told = page.get_by_role("region", name="to look at")
        expect(told.get_by_role("heading", name="Ahead of you")).to_be_visible()
        expect(told).to_contain_text("ball reaches")
        pin = page.locator(".ribbon-pin.ahead").first
        expect(pin).to_be_visible()
        pin.click()
        expect(page.locator(".reel-time")).to_contain_text("020-sea")


def test_a_scene_goes_round_until_it_is_let_go(served: Served) -> None:
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        page.goto(f"{base}/reel?frame=13")
        page.wait_for_selector("#ready", state="attached")
        page.keyboard.press("l")
        expect(page.get_by_role("button", name="Scene round")).to_have_attribute("aria-pressed", "true")
        expect(page.get_by_role("button", name="Stop")).to_be_visible()
        # Six frames take a quarter of a second: after two seconds the film would long have ended.
        page.wait_for_timeout(2000)
        expect(page.get_by_role("button", name="Stop")).to_be_visible()
        expect(page.locator(".reel-time")).to_contain_text("020-sea")
        page.keyboard.press("Space")
        expect(page.get_by_role("button", name="Play")).to_be_visible()


def test_the_film_is_made_and_taken_away(served: Served, tmp_path: Path) -> None:
    base = served.address.split("/?")[0]
    with opened(served.address) as page:
        page.goto(f"{base}/reel")
        made = page.get_by_role("region", name="make the film")
        expect(made.get_by_label("web")).to_be_checked()
        made.get_by_label("podcast").check()
        made.get_by_role("button", name="Make it").click()
        expect(made.get_by_role("heading", name="podcast")).to_be_visible(timeout=60_000)
        expect(made).to_contain_text("LUFS")
        with page.expect_download() as coming:
            made.get_by_role("link", name="made/tiny.mp4").click()
        file = tmp_path / "taken.mp4"
        coming.value.save_as(file)
        # What was made is told after a reload, too.
        page.reload()
        expect(made.get_by_role("link", name="made/tiny.mp4")).to_be_visible()
    with av.open(str(file)) as film:
        assert sum(1 for _ in film.decode(video=0)) == 18
