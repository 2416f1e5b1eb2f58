"""A page of the workbench in a real browser; what it complains of fails the test."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Page, expect, sync_playwright

expect.set_options(timeout=20_000)  # other tests run beside them


@contextmanager
def opened(address: str, width: int = 1280, height: int = 800, *switches: str) -> Iterator[Page]:
    """The page at an address, ready; switches are for the browser."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if chromium is None:
        if os.environ.get("SPLITPIN_NO_SKIPS"):
            raise RuntimeError("no Chromium to look at the page with")
        pytest.skip("no Chromium to look at the page with")
    complaints: list[str] = []
    with sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path=chromium,
            args=["--no-sandbox", "--autoplay-policy=no-user-gesture-required", *switches],
        )
        page = browser.new_context(viewport={"width": width, "height": height}).new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
        page.set_default_timeout(20_000)
        page.goto(address)
        page.wait_for_selector("#ready", state="attached")
        yield page
        browser.close()
    assert complaints == [], complaints
