"""Mending changes the hole only: depth, alpha, recipes, and holes that are none."""

from __future__ import annotations

import json
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageCms
from tests.command.test_mend_command import disc, page, run
from tests.cutout.test_doubts import picture
from tests.tinyfilm import write_tiny

from splitpin.device.straight import read_straight

HOLE = np.asarray(disc()) > 127


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A picture and a hole in it."""
    monkeypatch.chdir(tmp_path)
    page().save("page.png")
    disc().save("hole.png")
    return tmp_path


def deep(channels: int) -> NDArray[np.uint16]:
    """The page in 16 bits a channel that no 8 bits could hold; OpenCV's order of channels."""
    rng = np.random.default_rng(5)
    wide = np.asarray(page())[..., ::-1].astype(np.uint16) * 257 + rng.integers(0, 40, (80, 120, 3))
    alpha = rng.integers(0, 65536, (80, 120, 1))
    return np.dstack([wide, alpha])[..., :channels].astype(np.uint16)


@pytest.mark.parametrize("channels", [1, 3, 4])
@pytest.mark.parametrize("ending", ["png", "tif"])
def test_sixteen_bits_and_alpha_stay_outside_the_hole_to_the_last_bit(
    channels: int, ending: str, desk: Path
) -> None:
    before = deep(channels)
    cv2.imwrite(f"deep.{ending}", before)
    assert run("mend", f"deep.{ending}", "--hole", "hole.png", "-o", "clean.png")[0] == 0
    after = read_straight(Path("clean.png"))
    assert after.rgb.dtype == np.uint16
    wanted = before[..., :1].repeat(3, axis=2) if channels == 1 else before[..., 2::-1]
    assert np.array_equal(after.rgb[~HOLE], wanted[~HOLE])
    assert after.rgb[HOLE].min() > 150 * 257
    if channels == 4:
        assert after.alpha is not None
        assert np.array_equal(after.alpha[~HOLE], before[..., 3][~HOLE])
        assert (after.alpha[HOLE] == 65535).all()
    else:
        assert after.alpha is None


def test_what_was_clear_stays_clear_and_lends_a_hole_no_colour(desk: Path) -> None:
    before = np.dstack([np.asarray(page()), np.full((80, 120), 255, np.uint8)])
    before[:, 75:] = (0, 255, 0, 0)
    Image.fromarray(before).save("clear.png")
    assert run("mend", "clear.png", "--hole", "hole.png", "-o", "clean.png")[0] == 0
    after = np.asarray(Image.open("clean.png"))
    assert np.array_equal(after[~HOLE], before[~HOLE])
    assert (after[HOLE][:, 3] == 255).all()
    assert after[HOLE][:, :3].min() > 150


def test_a_scratch_beside_what_is_clear_is_not_mended_with_itself(desk: Path) -> None:
    before = np.dstack([np.full((80, 120, 3), (40, 120, 60), np.uint8), np.full((80, 120), 255, np.uint8)])
    before[:, 70:] = (0, 0, 0, 0)
    before[:, 64:70, :3] = (220, 30, 30)
    Image.fromarray(before).save("clear.png")
    scratch = np.zeros((80, 120), np.uint8)
    scratch[:, 64:70] = 255
    Image.fromarray(scratch).save("scratch.png")
    assert run("mend", "clear.png", "--hole", "scratch.png", "-o", "clean.png")[0] == 0
    after = np.asarray(Image.open("clean.png"))
    assert (after[scratch > 0][:, :3] == (40, 120, 60)).all()


def test_bits_that_cannot_be_kept_are_told(desk: Path) -> None:
    root = write_tiny(desk / "tiny")
    (root / "pictures").mkdir(exist_ok=True)
    cv2.imwrite(str(root / "pictures/page.png"), deep(3))
    (root / "pictures/page.toml").write_text("format = 1\n[fit]\nwhite = [250.0, 250.0, 250.0]\n")
    code, said, _ = run("mend", "page", "--hole", "hole.png", "--into", root, "--name", "wall", "--json")
    assert code == 0
    assert "of its 16 bits a channel 8 are kept" in json.loads(said)["warnings"][0]["found"]


def test_a_profile_left_aside_is_told_beside_the_bits_that_are_lost(desk: Path) -> None:
    deep_grey = Image.fromarray(deep(1)[..., 0])
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    deep_grey.save("odd.png", icc_profile=lab)
    said = json.loads(run("mend", "odd.png", "--hole", "hole.png", "-o", "clean.png", "--json")[1])
    found = " ".join(w["found"] for w in said["warnings"])
    assert "left aside" in found
    assert "of its 16 bits a channel 8 are kept" in found


def test_a_clear_picture_set_straight_has_no_fringe_of_what_nobody_sees(desk: Path) -> None:
    root = write_tiny(desk / "tiny")
    (root / "pictures").mkdir(exist_ok=True)
    y, x = np.mgrid[:80, :120]
    far = np.hypot(y - 40, x - 60)
    before = np.zeros((80, 120, 4), np.uint8)
    before[far < 30] = (250, 240, 230, 255)
    before[(far >= 30) & (far < 32)] = (10, 10, 10, 2)  # so little of it is seen that it counts for nothing
    Image.fromarray(before).save(root / "pictures/disc.png")
    (root / "pictures/disc.toml").write_text("format = 1\n[fit]\nstraighten = 7.0\n")
    Image.fromarray(np.where(far < 8, 255, 0).astype(np.uint8)).save("middle.png")
    code, _, told = run("mend", "disc", "--hole", "middle.png", "--into", root, "--name", "clean")
    assert code == 0, told
    after = np.asarray(Image.open(root / "cutouts/clean.png")).astype(int)
    seen = after[..., 3] >= 16
    # the disc covers as much as before, and every pixel of it that is seen has its colour
    assert abs(after[..., 3].sum() - before[..., 3].astype(int).sum()) < 0.005 * before[..., 3].sum()
    # 2 of 255 black around 16 of 255 and more of the disc darken it by a seventh at most
    assert (after[seen][:, :3] >= np.array((250, 240, 230)) * 6 / 7).all()
    assert (after[after[..., 3] >= 128][:, :3] >= np.array((245, 235, 225))).all()


def test_the_recipe_beside_a_mended_picture_makes_it_again(desk: Path) -> None:
    assert run("mend", "page.png", "--hole", "hole.png", "-o", "clean.png", "--seed", "4")[0] == 0
    first = Path("clean.png").read_bytes()
    Path("clean.png").unlink()
    assert run("mend", "--recipe", "clean.toml")[0] == 0
    assert Path("clean.png").read_bytes() == first
    assert run("mend", "--recipe", "clean.toml", "-o", "other.png")[0] == 0
    assert Path("other.png").read_bytes() == first
    assert "already" in run("mend", "--recipe", "clean.toml", "-o", "other.png")[2]
    assert "splitpin mend --recipe" in run("cut", "--recipe", "clean.toml")[2]


def test_a_recipe_notices_that_its_picture_has_changed(desk: Path) -> None:
    assert run("mend", "page.png", "--hole", "hole.png", "-o", "clean.png")[0] == 0
    assert run("cut", "page.png", "--box", "30,20,40,40", "-o", "disc.png")[0] == 0
    for command, recipe in (("mend", "clean.toml"), ("cut", "disc.toml")):
        assert json.loads(run(command, "--recipe", recipe, "--json")[1])["warnings"] == []
    changed = page()
    changed.putpixel((2, 2), (1, 2, 3))
    changed.save("page.png")
    for command, recipe in (("mend", "clean.toml"), ("cut", "disc.toml")):
        code, said, _ = run(command, "--recipe", recipe)
        assert code == 0
        assert "has changed since this was made of it" in " ".join(said.split())
        # What was just made is of the picture as it is now.
        assert json.loads(run(command, "--recipe", recipe, "--json")[1])["warnings"] == []


def test_recipes_without_a_sum_still_work(desk: Path) -> None:
    assert run("cut", "page.png", "--box", "30,20,40,40", "-o", "disc.png")[0] == 0
    words = Path("disc.toml").read_text().splitlines()
    Path("disc.toml").write_text("\n".join(w for w in words if not w.startswith("sha256")))
    assert json.loads(run("cut", "--recipe", "disc.toml", "--json")[1])["warnings"] == []


def test_a_piece_of_another_picture_is_refused(desk: Path) -> None:
    page().rotate(180).save("other.png")
    assert run("cut", "page.png", "--box", "30,20,40,40", "-o", "disc.png")[0] == 0
    code, _, told = run("mend", "other.png", "--piece", "disc.toml", "-o", "wall.png")
    assert code == 2
    assert "a piece of another picture, page.png" in " ".join(told.split())
    # A copy of the same picture is the same picture.
    Path("copy.png").write_bytes(Path("page.png").read_bytes())
    assert run("mend", "copy.png", "--piece", "disc.toml", "-o", "wall.png")[0] == 0


@pytest.mark.parametrize(
    ("tone", "said"),
    [
        (0, "its lightest pixel is 0 of 255"),
        (127, "its lightest pixel is 127"),
        (200, "darkest pixel is 200"),
    ],
)
def test_a_mask_that_shows_no_hole_is_told_what_one_looks_like(tone: int, said: str, desk: Path) -> None:
    Image.new("L", (120, 80), tone).save("flat.png")
    code, _, told = run("mend", "page.png", "--hole", "flat.png", "-o", "clean.png")
    assert code == 2
    assert said in told
    assert "128 of 255 or lighter" in " ".join(told.split())
    assert not Path("clean.png").exists()


def test_a_loop_and_a_box_are_not_both_obeyed(desk: Path) -> None:
    Path("loop.json").write_text("[[28, 18], [72, 18], [72, 62], [28, 62]]")
    told = run("cut", "page.png", "--loop", "loop.json", "--box", "1,1,9,9", "-o", "disc.png")[2]
    assert "--loop and --box together" in told


def test_a_loop_through_the_thing_is_told_with_its_place(desk: Path) -> None:
    Image.fromarray(picture()).save("orange.png")
    code, said, _ = run("cut", "orange.png", "--box", "50,30,110,140", "-o", "half.png", "--json")
    assert code == 0
    warnings = json.loads(said)["warnings"]
    assert [w["file"] for w in warnings] == ["box"]
    assert "near 160, 100 it seems to run through the thing" in warnings[0]["found"]


def test_a_hole_that_leaves_little_to_copy_from_is_told(desk: Path) -> None:
    page().save("page.png")
    wide = np.zeros((80, 120), np.uint8)
    wide[10:70, 20:100] = 255
    Image.fromarray(wide).save("wide.png")
    told = json.loads(run("mend", "page.png", "--hole", "wide.png", "-o", "a.png", "--json")[1])["warnings"]
    assert told[0]["found"] == "a hole that is 50% of the picture"
    wide[:, 50:] = 0
    Image.fromarray(wide).save("narrow.png")
    said = run("mend", "page.png", "--hole", "narrow.png", "-o", "b.png", "--json")[1]
    assert json.loads(said)["warnings"] == []
