"""The example film is whole, honest about its sources, the same every time, in time with itself."""

from __future__ import annotations

import hashlib
import tomllib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from splitpin.example.board import BOARD
from splitpin.example.found import FOUND, found_path
from splitpin.example.sounds import BEATS_A_MINUTE, SOUNDS
from splitpin.example.write import STEP, makings
from splitpin.folder.crossing import cutouts_in
from splitpin.folder.load import load
from splitpin.folder.sheets import expose_all
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


def test_cutouts_are_as_fine_as_the_picture(example: Path) -> None:
    coarse = {
        name: 1 / cutout.mm_per_px
        for name, cutout in load(example).cutouts.items()
        if 1 / cutout.mm_per_px < FIELD_PX_PER_MM * 0.999
    }
    assert coarse == {}


def test_nothing_was_made_in_vain(example: Path) -> None:
    folder = load(example)
    used = {c for character in folder.characters.values() for _, c in cutouts_in(character)}
    heard = {cue.sound for cue in folder.film.cues}
    for scene in folder.scenes.values():
        used |= {m.cutout for m in scene.cast.values() if m.cutout} | {scene.background or ""}
        heard |= {cue.sound for cue in scene.cues}
    assert set(folder.cutouts) - used == set()
    assert {f"{name}.flac" for name in SOUNDS} - heard == set()


@pytest.mark.parametrize("name", ["cat-ear-left", "cat-eyes-half", "coin-3", "cloud-1", "spoon", "ring"])
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
