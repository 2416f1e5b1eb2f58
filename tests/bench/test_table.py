"""The table: what a hand tries writes nothing, and what is written is what was seen."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

SCENE = "/api/scenes/010-hill"


def placed(told: dict[str, Any], who: str, piece: str) -> dict[str, Any]:
    found: dict[str, Any] = next(p for p in told["placed"] if (p["who"], p["piece"]) == (who, piece))
    return found


def row_at(bench: TestClient, frame: int) -> dict[str, Any]:
    rows = bench.get(f"{SCENE}/sheet").json()["rows"]
    found: dict[str, Any] = next(row for row in rows if row["frame"] <= frame < row["frame"] + row["frames"])
    return found


def test_what_is_tried_is_what_lies_there_when_it_is_written(bench: TestClient, tiny: Path) -> None:
    before = (tiny / "scenes/010-hill.toml").read_bytes()
    pin = placed(row_at(bench, 4), "cat", "body")["pin"]
    hand = {"who": "cat", "piece": "body", "how": "carry", "at": pin, "to": [pin[0] + 7, pin[1] - 3]}
    tried = bench.post(f"{SCENE}/try", json={"frame": 4, "hand": hand}).json()
    assert tried["poses"] == {"cat": {"x": -13.0, "y": -3.0}}
    assert (tiny / "scenes/010-hill.toml").read_bytes() == before
    asked = {"frame": 4, "who": "cat", "values": tried["poses"]["cat"]}
    assert bench.post(f"{SCENE}/pose", json=asked).json()["hold"] == "on"
    for piece, lying in zip(tried["placed"], row_at(bench, 4)["placed"], strict=True):
        assert piece["matrix"] == pytest.approx(lying["matrix"], abs=1e-4)
    assert bench.post("/api/undo").json()["step"] == "lay it otherwise"
    assert (tiny / "scenes/010-hill.toml").read_bytes() == before


def test_who_rides_comes_along_and_a_limit_holds(bench: TestClient) -> None:
    row = row_at(bench, 4)
    x, y = placed(row, "cat", "body")["pin"]
    hand = {"who": "cat", "piece": "body", "how": "carry", "at": [x, y], "to": [x + 10, y]}
    tried = bench.post(f"{SCENE}/try", json={"frame": 4, "hand": hand}).json()
    assert placed(tried, "ball", "piece")["pin"][0] == pytest.approx(
        placed(row, "ball", "piece")["pin"][0] + 10, abs=1e-3
    )
    x, y = placed(row, "cat", "head")["pin"]
    turn = {"who": "cat", "piece": "head", "how": "turn", "at": [x + 10, y], "to": [x, y + 10]}
    tried = bench.post(f"{SCENE}/try", json={"frame": 4, "hand": turn}).json()
    assert tried["poses"]["cat"]["head.angle"] == 30


def test_places_and_angles_snap_to_fives(bench: TestClient) -> None:
    hand = {"who": "cat", "piece": "body", "how": "carry", "at": [0, 0], "to": [7.3, 1.2], "snap": True}
    tried = bench.post(f"{SCENE}/try", json={"frame": 4, "hand": hand}).json()
    assert tried["poses"]["cat"] == {"x": -15.0, "y": 0.0}
    shift = {"who": "cat", "piece": "head", "how": "shift", "at": [0, 0], "to": [0, 2]}
    tried = bench.post(f"{SCENE}/try", json={"frame": 4, "hand": shift}).json()
    assert tried["poses"]["cat"] == {"head.x": 0.0, "head.y": 2.0}


def test_a_move_is_laid_drawn_changed_and_taken_away(bench: TestClient) -> None:
    move = {"move": "slide", "who": "cat", "to": [10, 0], "positions": 3}
    number = bench.post(f"{SCENE}/moves", json={"frame": 0, "move": move}).json()["move"]
    told = bench.get(f"{SCENE}/moves").json()["moves"][number]
    assert [tick[0] for tick in told["ticks"]] == [0, 2, 4, 6]
    assert told["ticks"][-1][1:] == [10, 0]
    assert bench.post(f"{SCENE}/moves/{number}/tick", json={"frame": 6, "to": [12, 5]}).status_code == 200
    assert bench.patch(f"{SCENE}/moves/{number}", json={"keys": {"ease": "even"}}).status_code == 200
    told = bench.get(f"{SCENE}/moves").json()["moves"][number]
    assert (told["keys"]["to"], told["keys"]["ease"]) == ([12, 5], "even")
    gone = [{"document": "scenes/010-hill.toml", "path": ["moves", number], "value": None}]
    answer = bench.post(f"{SCENE}/change", json={"label": "take a move away", "edits": gone})
    assert answer.json()["history"]["undo"] == "take a move away"
    assert len(bench.get(f"{SCENE}/moves").json()["moves"]) == number


def test_somebody_joins_the_cast_and_strangers_are_refused(bench: TestClient) -> None:
    def join(character: str) -> int:
        who = {"character": character, "x": 5}
        edit = {"document": "scenes/010-hill.toml", "path": ["cast", "second"], "value": who}
        return bench.post(f"{SCENE}/change", json={"label": "lay on", "edits": [edit]}).status_code

    assert join("dog") == 422
    assert join("cat") == 200
    assert any(p["who"] == "second" for p in row_at(bench, 0)["placed"])
    film = {"document": "film.toml", "path": ["title"], "value": "Other"}
    assert bench.post(f"{SCENE}/change", json={"label": "more", "edits": [film]}).status_code == 422


def test_the_stack(bench: TestClient) -> None:
    def lowest() -> str:
        return str(row_at(bench, 0)["placed"][1]["who"])

    assert lowest() == "cat"
    assert bench.post(f"{SCENE}/stack", json={"who": "cat", "by": 1}).status_code == 200
    assert lowest() == "ball"


def test_what_is_not_there_is_told(bench: TestClient) -> None:
    hand = {"who": "dog", "piece": "head", "how": "carry", "at": [0, 0], "to": [1, 1]}
    for path, asked in (
        ("try", {"frame": 4, "hand": hand}),
        ("try", {"frame": 4, "poses": {"cat": {"tail.angle": 4}}}),
        ("pose", {"frame": 4, "who": "dog", "values": {"x": 1}}),
        ("moves", {"frame": 4, "move": {"move": "fly"}}),
        ("moves/0/tick", {"frame": 0, "to": [0, 0]}),
    ):
        answer = bench.post(f"{SCENE}/{path}", json=asked)
        assert answer.status_code == 422
        assert answer.json()["mistakes"]


def test_a_picture_that_is_no_more_is_no_mistake(bench: TestClient) -> None:
    key = row_at(bench, 2)["key"]
    assert bench.get(f"/api/frames/{key}.jpg").status_code == 200
    assert bench.post(f"{SCENE}/pose", json={"frame": 2, "who": "cat", "values": {"x": 1}}).status_code == 200
    row_at(bench, 2)
    assert bench.get(f"/api/frames/{key}.jpg").status_code == 204
    assert bench.get("/api/frames/none.jpg").status_code == 422


def test_the_table_tells_what_lies_near_and_the_rest_in_brief(bench: TestClient) -> None:
    sheet = bench.get(f"{SCENE}/sheet").json()
    told = bench.get(f"{SCENE}/table", params={"frame": 4, "around": 1}).json()
    assert [row["frame"] for row in told["rows"]] == [row["frame"] for row in sheet["rows"]]
    assert list(told["near"]) == ["1", "2", "3"]
    assert told["near"]["2"]["placed"] == sheet["rows"][2]["placed"]
    # The film touches the cat on frame 8: it lies otherwise there, and again on the next.
    assert [row["frame"] for row in told["rows"] if "cat" in row["moved"]] == [8, 10]
    assert "rows" not in bench.get(f"{SCENE}/table", params={"whole": False}).json()
