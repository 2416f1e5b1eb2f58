"""Characters on the desk: at rest, bent, pinned otherwise; every change a step."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.bench.test_desk import files

from splitpin.character.place import place
from splitpin.folder.load import load
from splitpin.jobs.envelope import figure_of


def test_the_pieces_lie_as_the_library_places_them(bench: TestClient, tiny: Path) -> None:
    told = bench.get("/api/characters/cat").json()
    known = place(figure_of(load(tiny), "cat"), {})
    assert [one["piece"] for one in told["placed"]] == [one.piece for one in known]
    for one, piece in zip(told["placed"], known, strict=True):
        assert one["matrix"] == pytest.approx(list(piece.matrix), abs=1e-5)
    assert told["root"] == "body"
    assert told["below"]["head"] == ["head", "mouth"]
    (cat,) = bench.get("/api/characters").json()["characters"]
    assert (cat["title"], cat["pieces"]) == ("Cat", 3)


def test_a_joint_is_told_with_the_pieces_that_it_turns(bench: TestClient) -> None:
    told = bench.get("/api/characters/cat/joints/head").json()
    assert (told["bent"][0]["angle"], told["bent"][-1]["angle"]) == (-30, 30)
    assert {one["piece"] for one in told["bent"][3]["placed"]} == {"head", "mouth"}
    assert bench.get("/api/characters/cat/joints/body").status_code == 422


def test_a_character_is_begun_and_pinned_in_steps_that_can_be_taken_back(
    bench: TestClient, tiny: Path
) -> None:
    before = files(tiny)
    new = {"name": "pair", "pieces": {"ball": "ball", "head": "head"}}
    assert bench.post("/api/characters", json=new).status_code == 201
    for doing in (
        {"do": "add", "piece": "hat", "cutout": "head", "x": 0, "y": 9},
        {"do": "hang", "piece": "hat", "on": "head"},
        {"do": "lay", "piece": "head", "x": 3, "y": 4},
        {"do": "pin", "piece": "head", "x": 3, "y": 2},
        {"do": "replacement", "piece": "hat", "name": "other", "cutout": "ball"},
        {"do": "take", "piece": "hat"},
    ):
        answer = bench.post("/api/characters/pair", json={"doing": doing})
        assert answer.status_code == 200, answer.text
    assert bench.get("/api/film").json()["history"] == {"undo": "take hat away", "redo": None, "steps": 7}
    lying = {one["piece"]: one for one in bench.get("/api/characters/pair").json()["placed"]}
    assert lying["head"]["pin"] == pytest.approx([3, 2], abs=1e-3)
    while bench.post("/api/undo").json()["step"]:
        pass
    assert files(tiny) == before


def test_what_cannot_be_is_refused_and_nothing_is_changed(bench: TestClient, tiny: Path) -> None:
    before = files(tiny)
    for doing in (
        {"do": "take", "piece": "mouth"},  # a scene needs it
        {"do": "take", "piece": "body"},
        {"do": "hang", "piece": "head", "on": "mouth"},
        {"do": "add", "piece": "a b", "cutout": "ball"},
        {"do": "add", "piece": "hat", "cutout": "none"},
    ):
        answer = bench.post("/api/characters/cat", json={"doing": doing})
        assert answer.status_code == 422
        assert answer.json()["mistakes"]
    assert bench.post("/api/characters", json={"name": "cat", "pieces": {"a": "ball"}}).status_code == 422
    assert files(tiny) == before
    assert bench.get("/api/film").json()["history"]["steps"] == 0
