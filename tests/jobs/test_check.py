"""A check says everything that is wrong, changes nothing and never breaks down."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from tests.mutations import Mutation, mutate, mutations, sources
from tests.tinyfilm import CAT, wav, write_tiny

from splitpin.folder.mistake import Mistake
from splitpin.jobs.check import Checked, check
from splitpin.jobs.make import make


@settings(max_examples=400, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
@given(changes=mutations())
@example(changes=[Mutation("delete", "film.toml")])
@example(changes=[Mutation("folder", "film.toml")])
@example(changes=[Mutation("write", "characters/cat.toml", CAT.replace("body.neck", "mouth.x").encode())])
def test_whatever_goes_wrong_is_told_or_harmless(changes: list[Mutation]) -> None:
    with tempfile.TemporaryDirectory() as place:
        root = write_tiny(Path(place) / "tiny")
        mutate(root, changes)
        before = sources(root)
        found = check(root)
        assert sources(root) == before
        for mistake in [*found.mistakes, *found.warnings]:
            assert well_formed(mistake), mistake
        assert len(set(found.mistakes)) == len(found.mistakes)
        if not found.mistakes:
            assert found.sheets is not None
            assert found.folder is not None
            assert set(found.folder.film.scenes) <= set(found.sheets.sheets)
            frames = sum(found.sheets.sheets[name].frames for name in found.folder.film.scenes)
            if frames <= 240 and max(found.folder.film.picture) <= 128:
                makes_a_film_or_says_why_not(root)
                assert sources(root) == before


def makes_a_film_or_says_why_not(root: Path) -> None:
    try:
        assert make(root, workers=1).files
    except Exception as trouble:
        told = (getattr(trouble, part, "") for part in ("where", "found", "expected", "remedy"))
        if not all(told):
            raise


def well_formed(mistake: Mistake) -> bool:
    return bool(
        mistake.file
        and "\\" not in mistake.file
        and (mistake.line is None or mistake.line >= 1)
        and mistake.found
        and mistake.expected
        and mistake.remedy
        and "Traceback" not in mistake.found
        and "pydantic" not in f"{mistake}"
    )


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def looked_through(root: Path) -> Checked:
    return check(root)


def test_a_right_film_has_no_mistakes_and_no_warnings(root: Path) -> None:
    assert looked_through(root)[:2] == ((), ())


def test_a_silent_sound_is_a_warning_where_it_is_called_for(root: Path) -> None:
    (root / "sounds/tick.wav").write_bytes(wav(0.1, 0))
    found = looked_through(root)
    assert found.mistakes == ()
    assert [(m.file, m.line) for m in found.warnings] == [("scenes/010-hill.toml", 33)]


def test_a_sound_that_starts_right_and_is_rubbish_inside_is_a_mistake(root: Path) -> None:
    (root / "sounds/tick.wav").rename(root / "sounds/tick.ogg")
    (root / "sounds/tick.wav.toml").unlink()
    (root / "sounds/tick.ogg").write_bytes(b"OggS" + bytes(200))
    scene = root / "scenes/010-hill.toml"
    scene.write_text(scene.read_text().replace("tick.wav", "tick.ogg"))
    found = looked_through(root)
    assert [m.file for m in found.mistakes] == ["sounds/tick.ogg"]


def test_no_film_folder_is_one_mistake(tmp_path: Path) -> None:
    found = looked_through(tmp_path)
    assert [(m.file, m.found.split(" (")[0]) for m in found.mistakes] == [("film.toml", "no film.toml")]
