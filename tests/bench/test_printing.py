"""The drawer of the printer: the kit is laid out, counted, looked at page by page, and taken away."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pdfplumber
from PIL import Image
from playwright.sync_api import expect
from starlette.testclient import TestClient
from tests.bench.browser import opened
from tests.bench.conftest import Served
from tests.bench.working import worked


def test_a_kit_is_laid_out_and_each_page_can_be_seen(bench: TestClient, tiny: Path) -> None:
    assert bench.get("/api/kit").json()["file"] is None
    assert bench.get("/api/kit/pages/1.jpg").status_code == 422
    told = worked(bench, bench.post("/api/kit", json={"paper": "Letter", "only": ["fans", "board"]}))
    result = told["result"]
    assert result["paper"] == "Letter"
    with pdfplumber.open(tiny / result["file"]) as pages:
        assert len(pages.pages) == result["total"] == sum(result["pages"].values())
    assert result["cost"]["card"] == 0
    picture = Image.open(BytesIO(bench.get("/api/kit/pages/2.jpg?width=300").content))
    assert picture.size[0] == 300
    assert bench.get(f"/api/kit/pages/{result['total'] + 1}.jpg").status_code == 422
    assert bench.get("/api/kit").json()["file"] == result["file"]


def test_what_is_no_part_fails_in_words(bench: TestClient) -> None:
    told = worked(bench, bench.post("/api/kit", json={"only": ["stripes"]}))
    assert told["state"] == "failed"
    assert "strips" in told["mistakes"][0]["remedy"]


def test_the_drawer_lays_out_what_is_ticked_and_shows_it(served: Served, tmp_path: Path) -> None:
    with opened(served.address) as page:
        page.keyboard.press("Control+p")
        drawer = page.get_by_role("dialog", name="print the paper kit")
        expect(drawer.get_by_role("checkbox", name="tiles")).not_to_be_checked()
        ticked = drawer.locator("fieldset input:checked:not([name=pieces])")
        while ticked.count():
            ticked.first.uncheck()
        drawer.get_by_text("what a plotter cuts, too").click()
        drawer.get_by_role("button", name="Lay it out").click()
        expect(drawer.get_by_text("of A4")).to_be_visible(timeout=60_000)
        expect(drawer.get_by_role("link", name="cut 1")).to_be_visible()
        shown = drawer.get_by_role("listitem")
        assert shown.count() >= 3
        expect(drawer.get_by_role("img", name="page 1", exact=True)).to_be_visible()
        with page.expect_download() as coming:
            drawer.get_by_role("link", name="take it away").click()
        file = tmp_path / "kit.pdf"
        coming.value.save_as(file)
        with pdfplumber.open(file) as pages:
            assert len(pages.pages) == shown.count()
        drawer.get_by_role("button", name="Away with it").click()
        expect(drawer).to_have_count(0)
        page.get_by_role("button", name="Print").click()
        # what was laid out last lies there still
        expect(page.get_by_text("of A4")).to_be_visible()
