"""The cutting mat: drafts write nothing, what is cut for good is a step, and a recipe can be gone on with."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image
from starlette.testclient import TestClient
from tests.bench.test_desk import files
from tests.bench.working import worked

from splitpin.cutout.cut import cut
from splitpin.cutout.recipe import Recipe

LOOP = [[60.0, 40.0], [240.0, 40.0], [240.0, 200.0], [60.0, 200.0]]
SIZE = (300, 240)
DISC = (150, 120, 60)
"""Middle and radius of the thing, pixels."""


def still_life(bench: TestClient) -> np.ndarray[Any, np.dtype[np.uint8]]:
    """Bring a red disc on grained grey paper, and tell its pixels."""
    rng = np.random.default_rng(5)
    rgb = np.repeat(rng.integers(150, 175, (SIZE[1], SIZE[0], 1)), 3, axis=2).astype(np.uint8)
    cv2.circle(rgb, DISC[:2], DISC[2], (190, 40, 30), -1, cv2.LINE_AA)
    out = io.BytesIO()
    Image.fromarray(rgb).save(out, "PNG", dpi=(254, 254))
    worked(bench, bench.post("/api/pictures", files=[("files", ("disc.png", out.getvalue(), "image/png"))]))
    return rgb


def png(bench: TestClient, key: str) -> np.ndarray[Any, np.dtype[np.uint8]]:
    answer = bench.get(f"/api/mat/shown/{key}")
    assert answer.status_code == 200
    return np.asarray(Image.open(io.BytesIO(answer.content)))


def test_a_draft_shows_what_would_be_cut_and_writes_nothing(bench: TestClient, tiny: Path) -> None:
    still_life(bench)
    before = files(tiny)
    told = bench.post("/api/mat/pictures/disc/draft", json={"loop": LOOP}).json()
    left, top, width, height = told["box"]
    for found, known in ((left, 90), (top, 60), (left + width, 211), (top + height, 181)):
        assert found == pytest.approx(known, abs=3)
    alpha = png(bench, told["key"])[..., 3] / 255
    assert alpha.sum() == pytest.approx(np.pi * DISC[2] ** 2, rel=0.03)
    assert len(told["outline"]) == 1
    assert files(tiny) == before


def test_a_stroke_over_what_to_drop_takes_it_away(bench: TestClient) -> None:
    still_life(bench)
    drop = [{"points": [[150.0, 60.0], [150.0, 180.0]], "radius": 12.0}]
    whole = bench.post("/api/mat/pictures/disc/draft", json={"loop": LOOP}).json()
    less = bench.post("/api/mat/pictures/disc/draft", json={"loop": LOOP, "drop": drop}).json()
    assert png(bench, less["key"])[..., 3].sum() < 0.95 * png(bench, whole["key"])[..., 3].sum()


def test_a_loop_that_encloses_nothing_is_refused_in_words(bench: TestClient) -> None:
    still_life(bench)
    for loop in (
        [],
        LOOP[:2],
        [LOOP[0], LOOP[2], LOOP[1], LOOP[3]],
        [[-9.0, -9.0], [-5.0, -9.0], [-5.0, -5.0]],
    ):
        answer = bench.post("/api/mat/pictures/disc/draft", json={"loop": loop})
        assert answer.status_code == 422
        assert answer.json()["mistakes"][0]["remedy"]


def test_the_knife_follows_the_edge_between_points(bench: TestClient) -> None:
    """Every place of the way lies on the circle, though the points were set beside it."""
    still_life(bench)
    (first,) = bench.post("/api/mat/pictures/disc/edge", json={"end": [93.0, 121.0]}).json()["points"]
    told = bench.post("/api/mat/pictures/disc/edge", json={"start": first, "end": [150.0, 57.0]}).json()
    way = np.array(told["points"])
    away = np.hypot(*(way - (DISC[0] + 0.5, DISC[1] + 0.5)).T)
    assert len(way) > 4
    assert np.abs(away - DISC[2]).max() < 1.5


def test_what_is_cut_for_good_is_the_library_s_piece_and_one_step(bench: TestClient, tiny: Path) -> None:
    rgb = still_life(bench)
    before = files(tiny)
    recipe = {"loop": LOOP, "ink_mm": 0.4}
    done = worked(bench, bench.post("/api/mat/pictures/disc/cut", json={"name": "sun", "recipe": recipe}))
    assert done["state"] == "done", done
    known = cut(rgb, Recipe.model_validate({**recipe, "ppi": 254.0}))
    assert np.array_equal(np.asarray(Image.open(tiny / "cutouts" / "sun.png")), known.rgba)
    told = bench.get("/api/mat/cutouts/sun").json()
    assert told["width_mm"] == pytest.approx(known.box[2] / 10)
    assert told["recipe"]["loop"] == LOOP
    again = worked(bench, bench.post("/api/mat/pictures/disc/cut", json={"name": "sun", "recipe": recipe}))
    assert again["mistakes"][0]["found"] == "a cut-out of that name"
    assert bench.post("/api/undo").json()["step"] == "cut sun"
    assert files(tiny) == before


def test_a_recipe_is_gone_on_with_and_keeps_scale_and_comments(bench: TestClient, tiny: Path) -> None:
    still_life(bench)
    worked(bench, bench.post("/api/mat/pictures/disc/cut", json={"name": "sun", "recipe": {"loop": LOOP}}))
    file = tiny / "cutouts" / "sun.toml"
    words = file.read_text(encoding="utf-8")
    width = bench.get("/api/mat/cutouts/sun").json()["width_mm"]
    file.write_text(
        "# mine\n" + words.replace(f"width_mm = {width}", f"width_mm = {2 * width}"), encoding="utf-8"
    )
    before, drop = files(tiny), [{"points": [[100.0, 40.0], [100.0, 200.0]], "radius": 25.0}]
    done = worked(bench, bench.put("/api/mat/cutouts/sun", json={"loop": LOOP, "drop": drop}))
    assert done["state"] == "done", done
    told = bench.get("/api/mat/cutouts/sun").json()
    assert told["recipe"]["drop"] == drop
    # A pixel is two tenths of a millimetre now, by what was written by hand.
    assert told["width_mm"] == pytest.approx(done["result"]["box"][2] * 0.2)
    assert file.read_text(encoding="utf-8").startswith("# mine\n")
    bench.post("/api/undo")
    assert files(tiny) == before


def test_what_is_left_of_a_picture_is_mended(bench: TestClient, tiny: Path) -> None:
    rgb = still_life(bench)
    asked = {"recipe": {"loop": LOOP}}
    done = worked(bench, bench.post("/api/mat/pictures/disc/mended", json=asked))
    shown = png(bench, done["result"]["mended"]).astype(np.float64)
    assert shown.shape == rgb.shape
    # Nothing red is left: paper lies where the disc was.
    assert shown[..., 0].max() - shown[..., 1].min() < 80
    worked(bench, bench.post("/api/mat/pictures/disc/cut", json={"name": "sun", "recipe": {"loop": LOOP}}))
    done = worked(bench, bench.post("/api/mat/pictures/disc/mend", json={"name": "paper", "piece": "sun"}))
    assert done["state"] == "done", done
    kept = np.asarray(Image.open(tiny / "cutouts" / "paper.png"))[..., :3]
    assert np.array_equal(kept[:40], rgb[:40])
    assert bench.get("/api/mat/cutouts/paper").json()["recipe"]["piece"] == "sun"
    kinds = {one["name"]: one["kind"] for one in bench.get("/api/mat/cutouts").json()["cutouts"]}
    assert (kinds["sun"], kinds["paper"]) == ("cut", "mend")


def test_a_cutout_is_parted_in_a_draft_and_then_for_good(bench: TestClient, tiny: Path) -> None:
    still_life(bench)
    worked(bench, bench.post("/api/mat/pictures/disc/cut", json={"name": "sun", "recipe": {"loop": LOOP}}))
    before = files(tiny)
    asked = {"lines": [[[80.0, -5.0], [80.0, 130.0]]], "names": ["body", "ear"], "as_drawn": True}
    parts = worked(bench, bench.post("/api/mat/cutouts/sun/parts", json=asked))["result"]["parts"]
    assert [(one["name"], one["holder"]) for one in parts] == [("body", None), ("ear", "body")]
    assert parts[1]["pin"][0] == pytest.approx(80, abs=2)
    assert png(bench, parts[1]["key"]).shape[1] == parts[1]["box"][2]
    assert files(tiny) == before
    whole = {**asked, "character": "sunny", "degrees": 30}
    done = worked(bench, bench.post("/api/mat/cutouts/sun/split", json=whole))
    assert done["state"] == "done", done
    assert (tiny / "characters" / "sunny.toml").is_file()
    assert bench.get("/api/film").json()["documents"]["characters"]["sunny"]["pieces"]["ear"]["limits"]
    bench.post("/api/undo")
    assert files(tiny) == before


def test_no_name_leads_out_of_the_cutouts(bench: TestClient) -> None:
    for name in ("..%2Ffilm", "none", "%2e%2e%2fcharacters%2fcat"):
        assert bench.get(f"/api/mat/cutouts/{name}").status_code in (404, 422)
    assert bench.get("/api/mat/shown/none").status_code == 422


def test_where_the_film_enlarges_a_picture_past_its_detail_is_told_with_the_picture(
    bench: TestClient,
) -> None:
    """At 5 pixels an inch one pixel of the scan is 5.08 mm, and one of the frame 2 mm."""
    still_life(bench)
    ppi = {"document": "pictures/disc.toml", "path": ["ppi"], "value": 5.0}
    assert bench.post("/api/edits", json={"label": "say how fine", "edits": [ppi]}).status_code == 200
    worked(bench, bench.post("/api/mat/pictures/disc/cut", json={"name": "sun", "recipe": {"loop": LOOP}}))
    assert bench.get("/api/pictures/disc/enlarged").json()["enlarged"] == []
    cast = {"document": "scenes/010-hill.toml", "path": ["cast", "sun"], "value": {"cutout": "sun"}}
    order = {"document": "scenes/010-hill.toml", "path": ["order", 0], "value": "sun", "insert": True}
    answer = bench.post("/api/edits", json={"label": "lay it", "edits": [cast, order]})
    assert answer.status_code == 200, answer.text
    (told,) = bench.get("/api/pictures/disc/enlarged").json()["enlarged"]
    assert (told["cutout"], told["scene"], told["frame"]) == ("sun", "010-hill", 0)
    assert told["factor"] >= 2.5
