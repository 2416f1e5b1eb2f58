"""A film begun."""

from __future__ import annotations

import importlib
import re
from pathlib import Path

import pytest

from splitpin.folder.mistake import FolderError
from splitpin.jobs.new import new
from splitpin.jobs.reference import tell

WRITING = importlib.import_module("splitpin.example.write")


def as_example(monkeypatch: pytest.MonkeyPatch, problem: OSError | None = None) -> None:
    """Something quick in the place of the example's cutting and printing."""

    def write(folder: Path) -> None:
        folder.mkdir()
        if problem is not None:
            raise problem

    monkeypatch.setattr(WRITING, "write", write)


@pytest.mark.parametrize("example", [True, False])
def test_what_is_made_is_no_part_of_a_folders_history(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, example: bool
) -> None:
    as_example(monkeypatch)
    new(tmp_path / "film", example=example)
    assert (tmp_path / "film/.gitignore").read_text(encoding="utf-8") == "made/\n"


def test_an_example_for_which_there_is_no_room_is_refused_in_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    as_example(monkeypatch, OSError(28, "No space left on device"))
    with pytest.raises(FolderError, match="No space left"):
        new(tmp_path / "film", example=True)


def test_a_new_films_text_points_only_to_what_is_installed(tmp_path: Path) -> None:
    new(tmp_path / "film")
    text = "".join(f.read_text(encoding="utf-8") for f in (tmp_path / "film").rglob("*.toml"))
    assert "docs/" not in text
    asked = re.findall(r"`splitpin reference (\w+)`", text)
    assert asked
    for name in asked:
        assert tell(name)
