"""Steps that make a scan fit are noted beside it; the scan is never altered."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from tests.halftone import photo, printed
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError
from splitpin.jobs.bring import bring
from splitpin.jobs.fit import fit_picture
from splitpin.jobs.found import open_found
from splitpin.jobs.papers import Told
from splitpin.picture.find_fit import Wanted


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = write_tiny(tmp_path / "film")
    page = np.full((420, 400, 3), 255, np.uint8)
    page[60:360, 50:350] = photo("chelsea")[:300, 100:400]
    Image.fromarray(printed(page, 133).scan).save(tmp_path / "cat.png", dpi=(600, 600))
    bring(root, [tmp_path / "cat.png"], Told(licence="CC0-1.0"))
    return root


def test_the_steps_are_noted_done_on_use_and_kept_and_the_scan_stays(root: Path) -> None:
    before = (root / "pictures/cat.png").read_bytes()
    done = fit_picture(root, "cat", Wanted())
    assert done.screens[0]["lpi"] == pytest.approx(133, rel=0.005)
    assert load(root).pictures["cat"].fit == done.fit
    assert load(root).mistakes == ()
    first = open_found(root, "cat")
    assert np.array_equal(first, open_found(root / "pictures" / "cat.png"))
    assert first.shape[:2] == (done.height, done.width)
    assert (root / "pictures/cat.png").read_bytes() == before


def test_the_command_writes_the_fitted_picture_and_the_pair_and_tells_screens_in_json(
    root: Path, tmp_path: Path
) -> None:
    out, pair = tmp_path / "fit.png", tmp_path / "pair.png"
    words = ["fit", str(tmp_path / "cat.png"), "-o", str(out), "--show", str(pair), "--json"]
    done = CliRunner().invoke(build(), words)
    assert done.exit_code == 0, done.output
    (told,) = json.loads(done.stdout)["pictures"]
    assert told["ppi"] == 600.0
    assert {round(s["lpi"]) for s in told["screens"]} == {133}
    assert out.is_file()
    assert pair.is_file()


@pytest.mark.parametrize(
    ("box", "out"), [((0, 0, 900, 10), "a.png"), ((0, 0, 0, 5), "a.png"), (None, "a.bmp"), (None, None)]
)
def test_what_cannot_be_done_is_refused_in_words(
    tmp_path: Path, box: tuple[int, int, int, int] | None, out: str | None
) -> None:
    Image.fromarray(photo("chelsea")).save(tmp_path / "cat.png")
    with pytest.raises(FolderError):
        fit_picture(tmp_path / "cat.png", None, Wanted(box=box), out=tmp_path / out if out else None)
    assert not (tmp_path / "a.bmp").exists()


def run(*words: object) -> tuple[str, str]:
    done = CliRunner().invoke(build(), ["fit", *(str(w) for w in words)])
    assert done.exit_code == 0, done.output
    return done.stdout, done.stderr


def test_corners_that_a_turn_leaves_are_told_with_the_crop_that_leaves_them_off(tmp_path: Path) -> None:
    file, out = tmp_path / "cat.png", tmp_path / "out.png"
    Image.fromarray(photo("chelsea")).save(file)
    said, _ = run(file, "--angle", 10, "-o", out)
    assert "corners are filled with the tone of its edge" in said
    box = said.split("--crop ")[1].split()[0]
    (told,) = json.loads(run(file, "--angle", 10, "-o", out, "--again", "--json")[0])["pictures"]
    assert ",".join(str(v) for v in told["inside"]) == box
    assert "corners" not in run(file, "--angle", 10, "--crop", box, "-o", out, "--again")[0]
    assert "corners" not in run(file, "-o", out, "--again")[0]


def test_a_picture_that_looks_enlarged_or_out_of_focus_is_told(tmp_path: Path) -> None:
    file, out = tmp_path / "cat.png", tmp_path / "out.png"
    small = Image.fromarray(photo("chelsea"))
    small.resize((small.width * 3, small.height * 3)).save(file)
    assert "enlarged or out of focus" in run(file, "-o", out)[0]
    (told,) = json.loads(run(file, "-o", out, "--again", "--json")[0])["pictures"]
    assert told["soft"] > 2
    small.save(file)
    assert "enlarged" not in run(file, "-o", out, "--again")[0]


def test_of_several_pictures_it_is_told_which_one_is_fitted_now(root: Path) -> None:
    said, told = run(root)
    names = sorted(load(root).pictures)
    assert told.splitlines() == [f"fitting {n} ({i} of {len(names)})" for i, n in enumerate(names, 1)]
    assert len(said.splitlines()) >= len(names) > 1
    assert run(root, "cat")[1] == ""
