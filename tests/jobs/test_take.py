"""Takes are written whole, never over one another, and shooting goes on where it stopped."""

from __future__ import annotations

import hashlib
import os
import shutil
import signal
import subprocess
import sys
import time
import tomllib
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from tests.tinyfilm import write_tiny

from splitpin.folder.mistake import FolderError
from splitpin.folder.takes import Mapped, TakeNote
from splitpin.jobs.check import check
from splitpin.jobs.ready import ready
from splitpin.jobs.take import begin, set_aside, take, takes_in

SCENE = "010-hill"


def shot(grey: int, kind: str = "JPEG") -> bytes:
    picture = np.full((90, 160, 3), grey, np.uint8)
    picture[::7, ::5] = 255 - grey
    data = BytesIO()
    Image.fromarray(picture).save(data, kind)
    return data.getvalue()


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    root = write_tiny(tmp_path / "tiny")
    shutil.rmtree(root / "takes" / SCENE)  # nothing is shot yet
    return root


def test_exposures_are_taken_in_turn_kept_as_they_came_and_noted(tiny: Path) -> None:
    sheet = begin(tiny, SCENE).sheet
    kinds = ["JPEG", "PNG", "TIFF"]
    for n, row in enumerate(sheet.rows):
        data = shot(20 + n, kinds[n % 3])
        done = take(
            tiny, sheet, data, "a camera", mapping=Mapped(h=[1.0] * 9, centre=[80, 45], size=(160, 90))
        )
        assert done.take.frame == row.frame
        assert not done.again
        file = tiny / done.take.file
        assert file.read_bytes() == data
        note = TakeNote.model_validate(tomllib.loads(file.with_suffix(".toml").read_text(encoding="utf-8")))
        assert note.sha256 == hashlib.sha256(data).hexdigest()
        assert note.size == (160, 90)
        assert note.mapping is not None
        following = [one.frame for one in sheet.rows if one.frame > row.frame]
        assert done.next == (following[0] if following else None)
    with pytest.raises(FolderError, match="every exposure is shot"):
        take(tiny, sheet, shot(1), "a camera")
    film = ready(tiny)
    assert len(film.folder.takes[SCENE]) == len(sheet.rows)
    assert not [w for w in check(tiny).warnings if w.file.startswith("takes/")]
    shown = [e.kind for s in film.segments if s.scene == SCENE for e in s.exposures]
    assert set(shown) == {"shot"}


def test_a_retake_is_a_file_of_its_own_and_the_latest_can_be_set_aside(tiny: Path) -> None:
    sheet = begin(tiny, SCENE).sheet
    first = take(tiny, sheet, shot(1), "one", 0)
    again = take(tiny, sheet, shot(2, "PNG"), "two", 0)
    assert again.again
    assert again.take.number == 2
    assert (tiny / first.take.file).read_bytes() == shot(1)
    assert set_aside(tiny, SCENE, 0) == again.take
    assert [one.number for one in takes_in(tiny, SCENE)] == [1]
    third = take(tiny, sheet, shot(3, "PNG"), "three", 0)
    set_aside(tiny, SCENE, 0)
    aside = tiny / "takes" / SCENE / "aside"
    assert sorted(p.read_bytes() for p in aside.glob("*.png")) == sorted([shot(2, "PNG"), shot(3, "PNG")])
    assert third.take.number == 2
    set_aside(tiny, SCENE, 0)
    with pytest.raises(FolderError, match="no take of frame 0"):
        set_aside(tiny, SCENE, 0)
    assert begin(tiny, SCENE).next == 0
    assert not check(tiny).mistakes
    assert not [w for w in check(tiny).warnings if w.file.startswith("takes/")]


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "no picture"),
        (b"GIF89a" + bytes(90), "picture"),
        (shot(9)[:900], "missing"),
        (b"x" * 999, "picture"),
    ],
)
def test_what_is_no_whole_picture_is_refused_and_leaves_nothing(tiny: Path, data: bytes, told: str) -> None:
    sheet = begin(tiny, SCENE).sheet
    with pytest.raises(FolderError) as refused:
        take(tiny, sheet, data, "a phone")
    assert told in str(refused.value.mistake)
    assert takes_in(tiny, SCENE) == []


def test_a_frame_on_which_no_exposure_begins_is_refused(tiny: Path) -> None:
    sheet = begin(tiny, SCENE).sheet
    with pytest.raises(FolderError, match="no exposure begins on frame 1"):
        take(tiny, sheet, shot(1), "a camera", 1)


PROGRAM = """
import sys, pathlib
from splitpin.jobs.take import begin, take
root = pathlib.Path(sys.argv[1])
sheet = begin(root, "010-hill").sheet
data = pathlib.Path(sys.argv[2]).read_bytes()
print("ready", flush=True)
while True:
    for row in sheet.rows:
        done = take(root, sheet, data, "a camera", row.frame)
        print(done.take.file, flush=True)
"""


def test_killed_at_any_moment_every_take_that_was_told_of_is_whole(tiny: Path, tmp_path: Path) -> None:
    picture = tmp_path / "shot.png"
    noise = np.random.default_rng(1).integers(0, 255, (200, 300, 3), np.uint8)
    Image.fromarray(noise).save(picture)
    data = picture.read_bytes()
    random = np.random.default_rng(3)
    told = 0
    for _ in range(6):
        running = subprocess.Popen(
            [sys.executable, "-c", PROGRAM, str(tiny), str(picture)], stdout=subprocess.PIPE, text=True
        )
        assert running.stdout is not None
        assert running.stdout.readline().strip() == "ready"
        time.sleep(float(random.uniform(0.0, 0.4)))
        os.kill(running.pid, signal.SIGKILL)
        files = running.stdout.read().split()
        running.wait()
        running.stdout.close()
        for file in files:
            assert (tiny / file).read_bytes() == data
            TakeNote.model_validate(
                tomllib.loads((tiny / file).with_suffix(".toml").read_text(encoding="utf-8"))
            )
        told += len(files)
        for one in takes_in(tiny, SCENE):
            assert (tiny / one.file).read_bytes() == data
        begun = begin(tiny, SCENE)
        assert len(begun.lost) <= 1
        assert not check(tiny).mistakes
    assert told > 10
