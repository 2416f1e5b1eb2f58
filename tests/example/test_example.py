"""The example film is whole, honest about its sources, the same every time, in time with itself."""

from __future__ import annotations

import hashlib
import shutil
import tomllib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from splitpin.example.board import BOARD
from splitpin.example.found import FOUND, found_path
from splitpin.example.prints import CUTS, MENDED, PRINTS, STEP
from splitpin.example.sounds import BEATS_A_MINUTE, SOUNDS
from splitpin.example.write import makings
from splitpin.folder.crossing import cutouts_in
from splitpin.folder.load import load
from splitpin.folder.sheets import expose_all
from splitpin.jobs.credits import credits_of
from splitpin.jobs.mend import mend_again
from splitpin.jobs.recut import recut
from splitpin.sheet.seen import within
from splitpin.sheet.sheet import Event

FIELD_PX_PER_MM = 1920 / 400
"""Pixels of the picture for a millimetre of the field."""


def events(example: Path, scene: str) -> dict[str, Event]:
    """What happens in a scene, by move and event; of those that happen often the last."""
    return {f"{e.move}.{e.name}": e for e in expose_all(load(example)).sheets[scene].events}


def test_nothing_is_wrong_with_it_and_nothing_worth_a_warning(example: Path) -> None:
    folder = load(example)
    sheets = expose_all(folder)
    assert [*folder.mistakes, *sheets.mistakes, *folder.warnings, *sheets.warnings] == []


def test_it_is_small_enough_to_send(example: Path) -> None:
    assert sum(f.stat().st_size for f in example.rglob("*") if f.is_file()) < 25_000_000


def test_it_is_about_half_a_minute_long(example: Path) -> None:
    folder = load(example)
    sheets = expose_all(folder).sheets
    assert list(sheets) == folder.film.scenes
    assert 26 <= sum(s.frames for s in sheets.values()) / folder.film.exact_rate <= 30


def test_every_panel_has_a_drawing_that_stands_in_for_it(example: Path) -> None:
    drawn = {p.drawing for s in load(example).scenes.values() for p in s.panels}
    assert drawn == {f"board/{name}.png" for name in BOARD}


@pytest.mark.parametrize("name", FOUND)
def test_found_pictures_lie_there_untouched_with_source_and_licence(example: Path, name: str) -> None:
    told = tomllib.loads((example / "pictures" / f"{name}.toml").read_text(encoding="utf-8"))
    here = (example / "pictures" / f"{name}.png").read_bytes()
    assert here == found_path(name).read_bytes()
    assert told["sha256"] == hashlib.sha256(here).hexdigest()
    assert told["source"]
    assert told["licence"]


@pytest.mark.parametrize("name", PRINTS)
def test_prints_are_told_to_be_prints_and_keep_the_terms_of_what_was_printed(
    example: Path, name: str
) -> None:
    told = tomllib.loads((example / "pictures" / f"{name}.toml").read_text(encoding="utf-8"))
    here = (example / "pictures" / f"{name}.png").read_bytes()
    found = FOUND[PRINTS[name].found]
    assert told["sha256"] == hashlib.sha256(here).hexdigest()
    assert f"pictures/{PRINTS[name].found}.png" in told["note"]
    assert (told["source"], told["licence"], told["by"]) == (found.source, found.licence, found.by)


def test_whose_pictures_are_seen_is_known_of_all_of_them(example: Path) -> None:
    told = credits_of(example)
    assert told.unresolved == ()
    assert set(PRINTS) <= {c.name for c in told.credits}


def test_cutouts_are_as_fine_as_the_picture(example: Path) -> None:
    coarse = {
        name: 1 / cutout.mm_per_px
        for name, cutout in load(example).cutouts.items()
        if 1 / cutout.mm_per_px < FIELD_PX_PER_MM * 0.999 and name not in MENDED
    }
    assert coarse == {}


def test_mended_pictures_are_twice_as_fine_as_what_they_were_printed_from(example: Path) -> None:
    """More pixels would show no more: they lie at the bottom, as wide as the field."""
    for name, recipe in MENDED.items():
        with (
            Image.open(example / "cutouts" / f"{name}.png") as mended,
            Image.open(found_path(PRINTS[recipe.picture].found)) as found,
        ):
            assert mended.width >= 2 * found.width


def test_every_recipe_makes_the_same_file_again(example: Path, tmp_path: Path) -> None:
    for part in ("film.toml", "pictures", "cutouts", "holes"):
        copy = shutil.copy if part == "film.toml" else shutil.copytree
        copy(example / part, tmp_path / part)
    recipes = {f.stem: f for f in (tmp_path / "cutouts").glob("*.toml") if "[recipe]" in f.read_text("utf-8")}
    assert set(recipes) == {*CUTS, *MENDED}
    for name, document in recipes.items():
        png, said = document.with_suffix(".png"), document.read_bytes()
        before = png.read_bytes()
        png.unlink()
        if name in MENDED:
            mend_again(document)
        else:
            recut(document)
        assert png.read_bytes() == before, name
        assert document.read_bytes() == said


def test_the_cup_slides_off_the_title_and_leaves_it_to_be_read_for_a_second(example: Path) -> None:
    folder = load(example)
    sheet, stage, cup = expose_all(folder).sheets["000-title"], folder.film.stage, folder.cutouts["coffee"]
    seen = [
        row.frame
        for row in sheet.rows
        for placed in row.placed
        if placed.cutout == "coffee"
        and within(placed.matrix.then(stage.to_pixels(row.view)), cup.width, cup.height, stage)
    ]
    assert seen[0] == 0
    assert sheet.frames - seen[-1] >= folder.film.exact_rate


def test_where_the_cup_stood_is_wood_and_no_cup(example: Path) -> None:
    """As red as the saucer is nothing in the hole that is not as red beside it."""
    mended = np.asarray(Image.open(example / "cutouts" / "table.png").convert("RGB"), float)
    hole = np.asarray(Image.open(example / "holes" / "table.png").convert("L")) > 127
    red = mended[..., 0] / np.maximum(mended[..., 1], 1)
    assert np.percentile(red[hole], 99) <= np.percentile(red[~hole], 99) * 1.05


def test_nothing_was_made_in_vain(example: Path) -> None:
    folder = load(example)
    used = {c for character in folder.characters.values() for _, c in cutouts_in(character)}
    heard = {cue.sound for cue in folder.film.cues}
    for scene in folder.scenes.values():
        used |= {m.cutout for m in scene.cast.values() if m.cutout} | {scene.background or ""}
        heard |= {cue.sound for cue in scene.cues}
    assert set(folder.cutouts) - used == set()
    assert {f"{name}.flac" for name in SOUNDS} - heard == set()


@pytest.mark.parametrize("name", ["cat-ear-left", "cat-eyes-half", "cup-rim", "cloud-1", "spoon", "ring"])
def test_cutouts_come_out_the_same_every_time(example: Path, name: str) -> None:
    pictures = {
        n: np.asarray(Image.open(found_path(n)).convert("RGB"), np.float32) / np.float32(255) for n in FOUND
    }
    again = makings(pictures)[name].make()
    written = np.asarray(Image.open(example / "cutouts" / f"{name}.png"))
    shown = again[..., 3] > 0
    assert np.array_equal(written[..., 3], again[..., 3])
    assert np.abs(written[shown].astype(int) - again[shown].astype(int)).max() <= STEP // 2


def test_coins_land_on_the_beat(example: Path) -> None:
    sheets = expose_all(load(example)).sheets
    start = sum(s.frames for name, s in sheets.items() if name < "040-queue")
    beat = 24 * 60 / BEATS_A_MINUTE
    landings = [
        e.frame for e in sheets["040-queue"].events if e.move.startswith("pay-") and e.name == "landing"
    ]
    assert len(landings) == 5
    assert [(start + frame) % beat for frame in sorted(landings)] == [0.0] * 5


def test_the_paw_comes_down_when_the_coin_is_there(example: Path) -> None:
    happens = events(example, "050-bolt")
    assert 0 < happens["bolt.start"].frame < happens["bolt.end"].frame
    assert happens["slap.start"].frame - happens["bolt.end"].frame in (0, 1)


def test_the_change_falls_after_the_burp(example: Path) -> None:
    happens = events(example, "060-ring")
    assert (
        happens["lift.end"].frame
        < happens["blink.shut"].frame
        < happens["burp.start"].frame
        < happens["drop.end"].frame
    )


def test_the_lids_of_the_shut_cat_go_over_into_its_face_without_an_edge(example: Path) -> None:
    """Scissors leave one half covered pixel; an outline around a shut eye reads as an empty socket."""
    with Image.open(example / "cutouts" / "cat-eyes-shut.png") as lids:
        alpha = np.asarray(lids)[..., 3].astype(int)
    for x in (60, 90, 115, 150):
        column = alpha[:, x]
        above = column[: int(column.argmax()) + 1]  # below it the line of lashes may end crisply
        assert above[-1] == 255
        assert ((above > 10) & (above < 245)).sum() >= 8
        assert np.abs(np.diff(above)).max() <= 64
