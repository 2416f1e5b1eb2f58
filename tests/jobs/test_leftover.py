"""Scenes made alone have a file of their own, and what earlier makes left is told."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.tinyfilm import png, write_tiny

from splitpin.jobs.check import check
from splitpin.jobs.make import make


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def change(root: Path, old: str, new: str) -> None:
    file = root / "film.toml"
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def films(root: Path) -> list[str]:
    return sorted(p.name for p in (root / "made").glob("*.mp4"))


def test_the_only_scene_of_a_film_is_made_beside_it(tiny: Path) -> None:
    change(tiny, '["010-hill", "020-sea"]', '["020-sea"]')
    make(tiny, workers=1)
    whole = (tiny / "made/tiny.mp4").read_bytes()
    (tiny / "made/tiny.mp4").write_bytes(b"mine")
    made = make(tiny, scenes=["020-sea"], workers=1)
    assert made.files == (tiny / "made/tiny-020-sea.mp4",)
    assert made.counts.segments_made == 0
    assert (tiny / "made/tiny.mp4").read_bytes() == b"mine"
    assert (tiny / "made/tiny-020-sea.mp4").read_bytes() == whole


def test_every_scene_asked_for_by_name_is_a_film_of_its_own(tiny: Path) -> None:
    make(tiny, scenes=["010-hill", "020-sea"], workers=1)
    assert films(tiny) == ["tiny-010-hill-020-sea.mp4"]


def test_films_of_an_older_title_or_scene_are_told_and_left(tiny: Path) -> None:
    make(tiny, workers=1)
    make(tiny, scenes=["020-sea"], workers=1)
    make(tiny, scenes=["010-hill", "020-sea"], workers=1)
    assert not [w for w in make(tiny, workers=1).warnings if "earlier makes" in w]
    change(tiny, '["010-hill", "020-sea"]', '["020-sea"]')
    (told,) = [w for w in make(tiny, workers=1).warnings if "earlier makes" in w]
    assert "made/tiny-010-hill-020-sea.mp4:" in told
    assert "tiny-020-sea.mp4," not in told
    change(tiny, '"Tiny"', '"Tinier"')
    (told,) = [w for w in make(tiny, workers=1).warnings if "earlier makes" in w]
    assert told.startswith("made/tiny-010-hill-020-sea.mp4, made/tiny-020-sea.mp4, made/tiny.mp4: ")
    assert films(tiny) == ["tinier.mp4", "tiny-010-hill-020-sea.mp4", "tiny-020-sea.mp4", "tiny.mp4"]


def test_pictures_of_an_outlet_that_is_no_more_are_told(tiny: Path) -> None:
    change(tiny, "[outlets.web]", '[outlets.strip]\nkind = "pictures"\n\n[outlets.wide]')
    assert not [w for w in make(tiny, workers=1).warnings if "earlier makes" in w]
    change(tiny, "[outlets.strip]", "[outlets.frames]")
    change(tiny, "[outlets.wide]", "[outlets.small]")
    (told,) = [w for w in make(tiny, workers=1).warnings if "earlier makes" in w]
    assert told.startswith("made/tiny-wide.mp4: ")


def test_making_tells_of_misnamed_takes_as_a_check_does(tiny: Path) -> None:
    (tiny / "takes/020-sea/62.png").write_bytes(png(64, 36))
    (tiny / "takes/020-see").mkdir()
    checked = {m.file for m in check(tiny).warnings if m.file.startswith("takes/")}
    made = {w.split(":")[0] for w in make(tiny, workers=1).warnings}
    assert checked == {"takes/020-sea/62.png", "takes/020-see"}
    assert checked <= made
    alone = make(tiny, scenes=["010-hill"], workers=1).warnings
    assert not [w for w in alone if "takes/" in w]
