"""Looking ahead: a film folder in, what will go wrong and pictures of it out; the folder stays as it is."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.device.pictures import read_picture
from splitpin.folder.mistake import FolderError
from splitpin.jobs.ahead_pictures import pictures_of, write_pictures
from splitpin.jobs.check import check
from splitpin.jobs.forecast import look_ahead

DEAD = """\
format = 1
background = "hill"

[[panels]]
name = "waits"
seconds = 3

[cast.ball]
cutout = "ball"
x = 30

[[moves]]
move = "slide"
who = "ball"
to = [58, 0]
seconds = 0.5
"""


@pytest.fixture
def film(tmp_path: Path) -> Path:
    folder = write_tiny(tmp_path / "film")
    (folder / "scenes/010-hill.toml").write_text(DEAD, encoding="utf-8")
    for take in (folder / "takes/010-hill").iterdir():
        take.unlink()
    return folder


def test_what_lies_ahead_stands_on_the_clock_of_its_scene_and_of_the_film(film: Path) -> None:
    film_toml = film / "film.toml"
    text = film_toml.read_text(encoding="utf-8")
    film_toml.write_text(text.replace('["010-hill", "020-sea"]', '["020-sea", "010-hill"]'), encoding="utf-8")
    told = look_ahead(check(film))
    assert [(one.kind, one.scene) for one, _ in told] == [("field", "010-hill"), ("still", "010-hill")]
    assert [at - one.frame for one, at in told] == [6, 6]


def test_nothing_is_foreseen_while_there_are_mistakes(film: Path) -> None:
    (film / "cutouts/ball.png").unlink()
    found = check(film)
    assert look_ahead(found) == ()
    assert list(pictures_of(found, ())) == []


def test_pictures_show_the_exposure_with_a_ring_and_nothing_else_changed(film: Path, tmp_path: Path) -> None:
    found = check(film)
    told = look_ahead(found)
    (name, ringed), (other, plain) = pictures_of(found, told)
    assert (name[:8], name[-5:], other[-5:]) == ("010-hill", "field", "still")
    # Both are of the ball at rest: what differs is the ring about it.
    ys, xs = np.nonzero((ringed != plain).any(axis=2))
    assert xs.min() < 58 < xs.max()
    assert ys.min() < 18 < ys.max()
    assert (ringed[18, 60] == plain[18, 60]).all()
    files = write_pictures(found, told, tmp_path / "ahead")
    assert [file.name for file in files] == [f"{name}.png", f"{other}.png"]
    assert (read_picture(files[0])[..., :3] == ringed).all()


def test_warnings_that_have_a_place_in_the_film_have_a_picture_too(film: Path) -> None:
    scene = film / "scenes/020-sea.toml"
    says = scene.read_text(encoding="utf-8").replace(
        'action = "Nothing',
        'says = "Far too many words for so little of the sea."\naction = "Nothing',
    )
    scene.write_text(says, encoding="utf-8")
    found = check(film)
    assert len(found.warnings) == 1
    names = [name for name, _ in pictures_of(found, look_ahead(found))]
    assert names[-1] == "020-sea-00000-warning"


def test_pictures_go_into_a_new_folder_only(film: Path) -> None:
    found = check(film)
    with pytest.raises(FolderError, match="it is there already"):
        write_pictures(found, look_ahead(found), film / "cutouts")


def test_the_command_tells_it_and_ends_well_since_none_of_it_is_a_mistake(film: Path, tmp_path: Path) -> None:
    before = {path: path.read_bytes() for path in film.rglob("*") if path.is_file()}
    said = CliRunner().invoke(build(), ["check", str(film), "--ahead"])
    assert said.exit_code == 0
    assert "ahead of you" in said.stdout
    assert "010-hill, frame 10: field" in said.stdout
    pictures = tmp_path / "ahead"
    said = CliRunner().invoke(build(), ["check", str(film), "--pictures", str(pictures), "--json"])
    ahead = json.loads(said.stdout)["ahead"]
    assert [one["kind"] for one in ahead] == ["field", "still"]
    assert all(Path(one["picture"]).is_file() for one in ahead)
    assert ahead[0]["figures"]["who"] == "ball"
    assert before == {path: path.read_bytes() for path in film.rglob("*") if path.is_file()}


def test_without_being_asked_a_check_says_nothing_of_what_lies_ahead(film: Path) -> None:
    said = CliRunner().invoke(build(), ["check", str(film), "--json"])
    assert sorted(json.loads(said.stdout)) == ["mistakes", "warnings"]


def test_a_taken_folder_for_pictures_is_refused_before_anything_is_done(film: Path) -> None:
    said = CliRunner().invoke(build(), ["check", str(film), "--pictures", str(film)])
    assert said.exit_code == 2
    assert "it is there already" in said.output
    assert "looking ahead" not in said.output
