"""The studio from Python."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from tests.tinyfilm import write_tiny

import splitpin
from splitpin.device.pictures import read_picture

DOCUMENT = Path(__file__).parent.parent / "docs" / "api.md"


@pytest.fixture
def film(tmp_path: Path) -> splitpin.OpenFilm:
    return splitpin.open(write_tiny(tmp_path / "tiny"))


def test_importing_loads_neither_codecs_nor_compilers() -> None:
    heavy = "{'av', 'cv2', 'numba', 'scipy', 'pydantic', 'numpy'}"
    code = f"import sys, splitpin; print(sorted({heavy} & set(sys.modules)))"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout == "[]\n"


def test_every_name_it_promises_is_there() -> None:
    for name in splitpin.__all__:
        assert getattr(splitpin, name) is not None
    with pytest.raises(AttributeError, match="no 'opne'"):
        splitpin.opne  # noqa: B018


def test_the_documented_example_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_tiny(tmp_path / "exact-change")
    monkeypatch.chdir(tmp_path)
    [example] = re.findall(r"```python\n(.*?)```", DOCUMENT.read_text(encoding="utf-8"), re.DOTALL)
    exec(compile(example, str(DOCUMENT), "exec"), {})  # noqa: S102  (our own document)


def test_every_public_name_is_documented() -> None:
    text = DOCUMENT.read_text(encoding="utf-8")
    missing = [
        name
        for name in [*splitpin.__all__, *vars(splitpin.OpenFilm)]
        if not name.startswith("_") and name not in text
    ]
    assert missing == []


def test_frames_one_by_one_and_in_turn_are_the_frames_that_are_made(film: splitpin.OpenFilm) -> None:
    made = film.make(["stills"])
    assert len(film) == made.frames == 18
    for i, frame in enumerate(film.frames()):
        assert np.array_equal(frame, read_picture(made.files[0] / f"{i + 1:06d}.png")[..., :3])
        assert np.array_equal(frame, film.frame(i))
    for n in (-1, 18):
        with pytest.raises(IndexError):
            film.frame(n)


def test_an_edit_can_be_taken_back(film: splitpin.OpenFilm) -> None:
    before = (film.root / "film.toml").read_bytes()
    undo = film.edit("film.toml", "title", "Other")
    assert film.folder.film.title == "Other"
    film.apply(undo)
    assert film.folder.film.title == "Tiny"
    assert (film.root / "film.toml").read_bytes() == before


def test_mistakes_are_told_and_refused(film: splitpin.OpenFilm) -> None:
    assert film.check() == ()
    film.edit("film.toml", "field_mm", -1.0)
    assert len(film.check()) == 1
    with pytest.raises(splitpin.RefusedError) as refused:
        film.sheets()
    assert refused.value.mistakes == film.check()


def test_a_place_or_a_scene_that_is_not_there_is_told(film: splitpin.OpenFilm, tmp_path: Path) -> None:
    with pytest.raises(splitpin.FolderError, match="splitpin new"):
        splitpin.open(tmp_path / "nope")
    with pytest.raises(splitpin.FolderError, match="did you mean 020-sea"):
        film.sheet("020-see")


def test_the_mix_is_as_long_as_the_film(film: splitpin.OpenFilm) -> None:
    assert film.mix().shape == (18 * 2000, 2)
    assert film.mix().dtype == np.float32
    assert film.sheet("020-sea").frames == 6
