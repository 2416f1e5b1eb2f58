"""What a person should know is pinned where it happens in the film."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.tinyfilm import write_tiny

from splitpin.folder.mistake import Mistake
from splitpin.jobs.check import check
from splitpin.jobs.whereabouts import Whereabouts, whereabouts


@pytest.fixture
def film(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def line(film: Path, document: str, words: str) -> int:
    lines = (film / document).read_text(encoding="utf-8").splitlines()
    return 1 + next(n for n, text in enumerate(lines) if words in text)


@pytest.mark.parametrize(
    ("words", "frame"),
    [('name = "waits"', 0), ('says = "Mrow?"', 6), ("positions = 2", 0), ("set = {", 8), ("[cast.cat]", 0)],
)
def test_a_line_of_a_scene_is_where_its_panel_move_or_touch_is(film: Path, words: str, frame: int) -> None:
    told = Mistake("scenes/010-hill.toml", line(film, "scenes/010-hill.toml", words), "f", "e", "r")
    assert whereabouts(check(film), told) == Whereabouts("010-hill", frame)


@pytest.mark.parametrize(
    ("file", "found", "where"),
    [
        ("scenes/020-sea.toml", "cat.head is bent to 40° on frame 3; its limits", ("020-sea", 15)),
        ("scenes/020-sea.toml", "something of all of it", ("020-sea", 12)),
        ("scenes/020-sea.toml", "far behind, frame 900", ("020-sea", 17)),
        ("takes/020-sea/000003.png", "dark", ("020-sea", 15)),
        ("characters/cat.toml", "a pin", ("010-hill", 0)),
    ],
)
def test_a_frame_a_take_and_a_character_are_found(
    film: Path, file: str, found: str, where: tuple[str, int]
) -> None:
    assert whereabouts(check(film), Mistake(file, None, found, "e", "r")) == where


@pytest.mark.parametrize(
    "file", ["film.toml", "pictures/found.toml", "scenes/none.toml", "characters/none.toml"]
)
def test_what_happens_nowhere_in_the_film_has_no_place(film: Path, file: str) -> None:
    assert whereabouts(check(film), Mistake(file, 1, "f", "e", "r")) is None


def test_where_there_is_no_film_there_is_no_place(tmp_path: Path) -> None:
    checked = check(tmp_path / "none")
    assert whereabouts(checked, checked.mistakes[0]) is None
