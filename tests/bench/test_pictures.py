"""Found pictures on the desk: brought, looked at, made fit, each a step that can be taken back."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from starlette.testclient import TestClient
from tests.bench.test_desk import files
from tests.bench.working import worked

from splitpin.picture.fit import Fit, fitted


def photograph(width: int = 96, height: int = 64, form: str = "PNG", seed: int = 1) -> bytes:
    """A picture file of grain and a slope."""
    rng = np.random.default_rng(seed)
    rgb = rng.integers(0, 40, (height, width, 1)) + np.linspace(30, 160, width)[None, :, None] * [1, 0.9, 0.8]
    out = io.BytesIO()
    Image.fromarray(rgb.astype(np.uint8)).save(out, form)
    return out.getvalue()


def sent(*names: str) -> list[tuple[str, tuple[str, bytes, str]]]:
    return [("files", (name, photograph(seed=n), "image/png")) for n, name in enumerate(names)]


def listed(bench: TestClient) -> dict[str, Any]:
    return {one["name"]: one for one in bench.get("/api/pictures").json()["pictures"]}


def test_what_is_brought_is_one_step_and_kept_byte_for_byte(bench: TestClient, tiny: Path) -> None:
    before, there = files(tiny), listed(bench)
    two = sent("a page.png", "../../b.png")
    told = {"source": "a drawer", "licence": "CC0-1.0"}
    done = worked(bench, bench.post("/api/pictures", files=two, data=told))
    assert [one["name"] for one in done["result"]["brought"]] == ["a-page", "b"]
    assert (tiny / "pictures" / "a-page.png").read_bytes() == two[0][1][1]
    new = listed(bench)
    assert set(new) - set(there) == {"a-page", "b"}
    assert new["b"]["document"]["source"] == "a drawer"
    assert new["b"]["unresolved"] == []
    assert (new["b"]["width"], new["b"]["height"]) == (96, 64)
    assert bench.post("/api/undo").json()["step"] == "bring 2 files"
    assert files(tiny) == before


def test_what_is_no_picture_is_refused_and_nothing_is_written(bench: TestClient, tiny: Path) -> None:
    before = files(tiny)
    bad = [*sent("good.png"), ("files", ("bad.png", b"no picture", "image/png"))]
    done = worked(bench, bench.post("/api/pictures", files=bad))
    assert done["state"] == "failed"
    assert done["mistakes"][0]["file"].endswith("bad.png")
    assert files(tiny) == before


def test_a_picture_that_nothing_is_known_of_is_marked(bench: TestClient) -> None:
    worked(bench, bench.post("/api/pictures", files=sent("stray.png")))
    assert len(listed(bench)["stray"]["unresolved"]) == 2


def test_the_print_and_the_trial_show_the_picture_with_its_steps(bench: TestClient, tiny: Path) -> None:
    worked(bench, bench.post("/api/pictures", files=sent("page.png")))
    rgb = np.asarray(Image.open(tiny / "pictures" / "page.png").convert("RGB"))
    steps = {"crop": [10, 8, 50, 40], "white": [200, 210, 220]}
    answer = bench.post("/api/pictures/page/trial", json={"fit": steps, "side": 2000})
    shown = np.asarray(Image.open(io.BytesIO(answer.content)), np.float64)
    known = fitted(rgb, Fit.model_validate(steps))
    assert shown.shape == known.shape
    # JPEG is lossy; a wrong crop or tone would differ by far more.
    assert np.abs(shown - known).mean() < 4
    stamp = listed(bench)["page"]["stamp"]
    assert bench.put("/api/pictures/page/fit", json=steps).status_code == 200
    assert listed(bench)["page"]["stamp"] != stamp
    noted = bench.get("/api/pictures/page/print.jpg", params={"side": 640})
    assert Image.open(io.BytesIO(noted.content)).size == (50, 40)
    plain = bench.get("/api/pictures/page/print.jpg", params={"side": 640, "fit": False})
    assert Image.open(io.BytesIO(plain.content)).size == (96, 64)
    assert bench.put("/api/pictures/page/fit", json={}).status_code == 200
    assert "fit" not in (tiny / "pictures" / "page.toml").read_text(encoding="utf-8")


def test_only_the_right_stamp_lets_a_print_be_kept(bench: TestClient) -> None:
    worked(bench, bench.post("/api/pictures", files=sent("page.png")))
    stamp = listed(bench)["page"]["stamp"]
    for told, kept in ((stamp, "immutable"), ("old", "no-cache")):
        answer = bench.get("/api/pictures/page/print.jpg", params={"stamp": told})
        assert kept in answer.headers["cache-control"]


def test_a_scan_is_looked_through_and_nothing_is_noted(bench: TestClient, tiny: Path) -> None:
    """A page laid down askew by 3° on a dark lid: the angle is found to a tenth of a degree."""
    lid = Image.new("RGB", (900, 700), (40, 38, 36))
    page = Image.new("RGB", (620, 460), (235, 228, 210))
    turned = page.convert("RGBA").rotate(3, expand=True, resample=Image.Resampling.BICUBIC)
    lid.paste(turned, (120, 90), turned)
    out = io.BytesIO()
    lid.save(out, "PNG")
    worked(bench, bench.post("/api/pictures", files=[("files", ("scan.png", out.getvalue(), "image/png"))]))
    before = files(tiny)
    seen = worked(bench, bench.post("/api/pictures/scan/look"))["result"]
    assert seen["by"] == "page"
    assert seen["fit"]["straighten"] == pytest.approx(-3, abs=0.1)
    assert len(seen["page"]) == 4
    assert files(tiny) == before


def test_an_unknown_picture_is_told(bench: TestClient) -> None:
    for way in ("print.jpg", "enlarged"):
        assert bench.get(f"/api/pictures/none/{way}").status_code == 422
    assert bench.put("/api/pictures/none/fit", json={}).status_code == 422
    assert bench.put("/api/pictures/x/fit", json={"straighten": 99}).status_code == 422
