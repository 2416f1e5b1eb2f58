"""Whatever is done on the desk is a step in the film's folder, told to every window."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from starlette.testclient import TestClient

import splitpin.api
from splitpin.bench.room import Room
from splitpin.folder.mistake import FolderError


def title(value: object, label: str = "call it") -> dict[str, Any]:
    return {"label": label, "edits": [{"document": "film.toml", "path": ["title"], "value": value}]}


def files(root: Path) -> dict[str, bytes]:
    """All that belongs to a film; what a killed program left unfinished, hidden, is swept away later."""
    return {
        str(path.relative_to(root)): path.read_bytes()
        for path in root.rglob("*")
        if path.is_file() and not {".splitpin", "made"} & set(path.parts) and not path.name.endswith("~")
    }


def test_an_edit_changes_the_document_and_can_be_taken_back_byte_for_byte(
    bench: TestClient, tiny: Path
) -> None:
    before = files(tiny)
    for n in range(3):
        assert bench.post("/api/edits", json=title(f"film {n}")).status_code == 200
    after = files(tiny)
    while bench.post("/api/undo").json()["step"]:
        pass
    assert files(tiny) == before
    while bench.post("/api/redo").json()["step"]:
        pass
    assert files(tiny) == after


def test_an_edit_that_would_be_a_mistake_is_refused_and_nothing_is_changed(
    bench: TestClient, tiny: Path
) -> None:
    before = files(tiny)
    good = title("good")["edits"]
    bad = [{"document": "film.toml", "path": ["on"], "value": "often"}]
    answer = bench.post("/api/edits", json={"label": "spoil", "edits": good + bad})
    assert answer.status_code == 422
    assert answer.json()["mistakes"][0]["file"] == "film.toml"
    assert files(tiny) == before
    assert bench.get("/api/film").json()["history"]["undo"] is None


def test_a_window_hears_what_another_does(bench: TestClient) -> None:
    with bench.websocket_connect("ws://127.0.0.1:4160/api/events") as socket:
        revision = socket.receive_json()["revision"]
        bench.post("/api/edits", json=title("heard", "name the film"))
        heard = socket.receive_json()
    assert heard["revision"] == revision + 1
    assert heard["label"] == "name the film"
    assert heard["files"] == ["film.toml"]


def test_what_is_changed_by_hand_appears_and_can_be_taken_back(bench: TestClient, tiny: Path) -> None:
    film = tiny / "film.toml"
    before = film.read_text(encoding="utf-8")
    with bench.websocket_connect("ws://127.0.0.1:4160/api/events") as socket:
        socket.receive_json()
        film.write_text(before.replace("title =", "# by hand\ntitle ="), encoding="utf-8")
        assert socket.receive_json()["files"] == ["film.toml"]
    assert bench.post("/api/undo").json()["step"] == "changed outside"
    assert film.read_text(encoding="utf-8") == before


def test_while_there_are_mistakes_the_film_is_seen_as_it_was_before_them(
    bench: TestClient, tiny: Path, room: Room
) -> None:
    good = bench.get("/api/film").json()
    (tiny / "film.toml").write_text("title = [", encoding="utf-8")
    assert room.open is not None
    room.open.look()
    told = bench.get("/api/film").json()
    assert told["mistakes"][0]["file"] == "film.toml"
    assert told["exposures"] == good["exposures"]
    assert bench.get(f"/api/frames/{good['exposures'][0]['key']}.jpg").status_code == 200
    assert bench.post("/api/make", json={}).status_code == 202


def test_the_steps_are_there_after_a_restart(bench: TestClient, tiny: Path, room: Room) -> None:
    bench.post("/api/edits", json=title("kept", "name the film"))
    room.close()
    again = Room()
    desk = again.lay_out(tiny)
    assert [step.label for step in desk.done] == ["name the film"]
    again.close()


def test_one_film_is_open_on_one_desk_only(room: Room, tiny: Path) -> None:
    with pytest.raises(FolderError):
        Room().lay_out(tiny)


def test_rows_and_frames_are_those_of_the_library(bench: TestClient, tiny: Path) -> None:
    film = splitpin.api.open(tiny)
    told = bench.get("/api/film").json()
    assert told["frames"] == len(film)
    scene = film.sheets()[0]
    rows = bench.get(f"/api/scenes/{scene.scene}/sheet").json()["rows"]
    assert [row["frame"] for row in rows] == [row.frame for row in scene.rows]
    for row, known in zip(rows, scene.rows, strict=True):
        for piece, placed in zip(row["placed"], known.placed, strict=True):
            assert piece["matrix"] == pytest.approx(list(placed.matrix), abs=1e-5)
    one = told["exposures"][0]
    answer = bench.get(f"/api/frames/{one['key']}.jpg", params={"width": 7680})
    (tiny.parent / "f.jpg").write_bytes(answer.content)
    with Image.open(tiny.parent / "f.jpg") as picture:
        shown = np.asarray(picture, np.float64)
    # JPEG at quality 88 is lossy; a wrong frame would differ by far more.
    assert np.abs(shown - film.frame(one["frame"])).mean() < 4
    assert "immutable" in answer.headers["cache-control"]


def test_an_unknown_thing_is_told_in_the_one_shape_of_mistakes(bench: TestClient) -> None:
    for answer in (
        bench.get("/api/scenes/none/sheet"),
        bench.get("/api/frames/none.jpg"),
        bench.get("/api/nowhere"),
        bench.post("/api/edits", json={"label": ""}),
        bench.get("/api/work/99"),
        bench.post("/api/shelf/open", json={"folder": "no/whole/path"}),
    ):
        assert answer.status_code in (404, 422)
        assert answer.json()["mistakes"]


def test_the_film_is_made_and_told(bench: TestClient, tiny: Path) -> None:
    with bench.websocket_connect("ws://127.0.0.1:4160/api/events") as socket:
        socket.receive_json()
        number = bench.post("/api/make", json={"outlets": ["web"]}).json()["number"]
        while (heard := socket.receive_json())["work"]["state"] not in ("done", "failed"):
            pass
    assert heard["work"]["state"] == "done", heard
    told = bench.get(f"/api/work/{number}").json()["result"]
    assert told["files"][0] == "made/tiny.mp4"
    assert bench.get(f"/api/files/{told['files'][0]}").status_code == 200
