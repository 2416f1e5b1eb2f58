"""Characters begun, pinned otherwise and counted, as a person asks for it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.command.test_command import splitpin
from tests.tinyfilm import write_tiny

from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError
from splitpin.jobs.envelope import add, begin, change, envelope, hang, lay
from splitpin.jobs.joints import joints
from splitpin.jobs.ready import RefusedError


@pytest.fixture
def film(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def test_a_character_is_begun_pinned_and_checks_without_mistakes(film: Path) -> None:
    begin(film, "pair", {"ball": "ball", "head": "head"}, "A pair")
    change(film, "pair", add("hat", "head", (0, 9)), hang("hat", "head"), lay("head", (1, 5)))
    folder = load(film)
    assert folder.mistakes == ()
    assert folder.characters["pair"].pieces["hat"].on == "head.hat"
    assert [one.piece for one in envelope(folder, "pair")] == ["ball", "head", "hat"]


def test_what_is_small_has_spares_and_two_in_one_scene_want_two_of_each(film: Path) -> None:
    scene = film / "scenes/010-hill.toml"
    text = scene.read_text(encoding="utf-8").replace(
        'order = ["cat", "ball"]', 'order = ["cat", "ball", "tom"]'
    )
    scene.write_text(text + '\n[cast.tom]\ncharacter = "cat"\n', encoding="utf-8")
    listed = {(one.piece, one.shows): one for one in envelope(load(film), "cat")}
    assert listed["body", ""].wanted == 2
    assert listed["body", ""].spares == 0  # 20 mm
    assert listed["head", ""].spares == 2  # 12 mm
    assert set(listed) == {("body", ""), ("head", ""), ("mouth", "shut"), ("mouth", "open")}


def test_comments_and_what_is_not_meant_stay_in_the_document(film: Path) -> None:
    file = film / "characters/cat.toml"
    before = "# by hand\n" + file.read_text(encoding="utf-8")
    file.write_text(before, encoding="utf-8")
    change(film, "cat", hang("mouth", "body"))
    after = file.read_text(encoding="utf-8")
    assert [line for line in before.splitlines() if line not in after.splitlines()] == [
        "pins = { neck = [5, 2], paw = [9, 9] }",
        'on = "head.chin"',
    ]


def test_what_a_scene_needs_is_not_taken_away(film: Path) -> None:
    document = film / "characters/cat.toml"
    before = document.read_bytes()
    done = splitpin("character", film, "cat", "--take", "mouth", "--json")
    assert done.returncode == 2
    assert "mouth" in json.loads(done.stdout)["mistakes"][0]["found"]
    assert document.read_bytes() == before
    with pytest.raises(RefusedError):
        change(film, "cat", lambda character, _: character.model_copy(update={"order": ["body"]}))


@pytest.mark.parametrize(
    ("name", "pieces"),
    [("cat", {"a": "ball", "b": "head"}), ("../x", {"a": "ball", "b": "head"}), ("new", {"a": "ball"}),
     ("new", {"a": "ball", "b": "none"}), ("new", {"a": "ball", "b.c": "head"})],
)  # fmt: skip
def test_what_cannot_be_begun_leaves_nothing_behind(film: Path, name: str, pieces: dict[str, str]) -> None:
    files = sorted(film.rglob("*"))
    with pytest.raises(FolderError):
        begin(film, name, pieces)
    assert sorted(film.rglob("*")) == files


def test_joints_are_told_to_people_and_machines(film: Path) -> None:
    assert [one.piece for one in joints(load(film), "cat")] == ["head", "mouth"]
    done = splitpin("joints", film, "cat", "--piece", "head", "--json")
    (told,) = json.loads(done.stdout)["joints"]
    assert (told["piece"], told["on"], told["bent"][0]["angle"]) == ("head", "body", -30)
    assert splitpin("joints", film, "cat", "--piece", "body").returncode == 2
    assert "head on body" in splitpin("joints", film, "cat").stdout
