"""A check names what many files lack once, last; and in the words of the credits."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.folder.load import load
from splitpin.folder.mistake import Mistake
from splitpin.jobs.alike import SEVERAL, grouped
from splitpin.jobs.credits import credits_of
from splitpin.measure.provenance import Provenance, missing

FILES = ("scrap-1", "scrap-2", "scrap-3", "scrap-4")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = write_tiny(tmp_path / "film")
    for i, name in enumerate(FILES):
        Image.new("RGB", (4, 4), (i, 0, 0)).save(root / f"pictures/{name}.png")
        (root / f"pictures/{name}.toml").write_text('format = 1\nsource = "a drawer"\n')
    return root


def run(*words: object) -> str:
    done = CliRunner().invoke(build(), [str(w) for w in words])
    assert done.exit_code == 0, done.output
    return done.output


def test_what_many_pictures_lack_is_said_once_after_the_rest(root: Path) -> None:
    (root / "takes/030-sky").mkdir()
    said = run("check", root)
    assert said.count("on what terms it may be used") == 1
    assert "4 files" in said
    assert ", ".join(f"pictures/{name}.toml" for name in FILES) in said
    assert said.index("030-sky") < said.index("4 files")
    assert "splitpin credits" in said
    assert "5 warnings" in said


def test_of_very_many_files_a_dozen_is_named(root: Path) -> None:
    for i in range(20):
        Image.new("RGB", (4, 4), (0, i, 9)).save(root / f"pictures/leaf-{i:02}.png")
    said = run("check", root)
    assert "20 files" in said
    assert "pictures/leaf-11.png and 8 more" in said
    assert "leaf-12" not in said


def test_making_the_film_says_the_same_in_one_line(root: Path) -> None:
    (root / "film.toml").write_text((root / "film.toml").read_text() + '\n[outlets.track]\nkind = "sound"\n')
    said = json.loads(run("make", root, "--outlet", "track", "--json"))["warnings"]
    (mistake, *_) = load(root).warnings
    names = ", ".join(f"pictures/{name}.toml" for name in FILES)
    assert said == [f"{names}: {mistake.found}; {mistake.remedy}"]


def test_json_has_each_of_them(root: Path) -> None:
    warnings = json.loads(run("check", root, "--json"))["warnings"]
    assert [w["file"] for w in warnings] == [f"pictures/{name}.toml" for name in FILES]


def test_a_check_and_the_credits_say_the_same_in_the_same_words(root: Path) -> None:
    (root / "sounds/hum.toml").unlink()
    found = root / "pictures/found.toml"
    found.write_text(found.read_text().replace('"CC0-1.0"', '"CC-BY-ND-4.0"'))
    by_check = {(w.file.split("/")[1].split(".")[0], w.found) for w in load(root).warnings}
    unresolved = credits_of(root).unresolved
    assert len(unresolved) == 2
    for credit in unresolved:
        for reason in credit.unresolved:
            assert (credit.name.split(".")[0], f"not known: {reason}") in by_check


def test_nothing_is_missing_of_what_is_free_and_has_a_source() -> None:
    assert missing(Provenance(format=1, source="a drawer", licence="CC0-1.0")) == ()
    assert len(missing(Provenance(format=1))) == 2
    assert len(missing(Provenance(format=1, source="x", licence="CC-BY-NC-ND-4.0"))) == 2
    assert len(missing(None)) == 1


MISTAKES = st.builds(
    Mistake,
    st.sampled_from("abcdefgh"),
    st.sampled_from([None, None, 3]),
    st.sampled_from("xyz"),
    st.just("e"),
    st.just("r"),
)


@given(st.lists(MISTAKES, unique=True))
def test_every_warning_is_told_alone_or_in_one_group(warnings: list[Mistake]) -> None:
    alone, groups = grouped(tuple(warnings))
    assert sorted([*alone, *(m for g in groups for m in g)], key=repr) == sorted(warnings, key=repr)
    assert all(len(g) >= SEVERAL and len({m[2:] for m in g}) == 1 for g in groups)
