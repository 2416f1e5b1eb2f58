"""Loops of a whole folder, read back by two readers."""

from __future__ import annotations

from io import BytesIO
from itertools import pairwise
from pathlib import Path

import av
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageSequence
from tests.tinyfilm import write_tiny

from splitpin.device.loop_writer import gif, webp, written
from splitpin.jobs.check import check
from splitpin.jobs.make import make
from splitpin.jobs.ready import RefusedError


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def outlet(root: Path, *lines: str) -> None:
    file = root / "film.toml"
    text = file.read_text(encoding="utf-8")
    old = '[outlets.web]\neffort = "draft"'
    assert old in text
    new = "\n".join(['[outlets.round]\nkind = "loop"', *lines])
    file.write_text(text.replace(old, new), encoding="utf-8", newline="\n")


def read(path: Path) -> tuple[list[int], list[NDArray[np.uint8]], dict[str, object]]:
    """Milliseconds and pixels of each picture, and what the file says, as Pillow reads it."""
    with Image.open(path) as loop:
        pictures = [frame.convert("RGB") for frame in ImageSequence.Iterator(loop)]
        times = []
        for i in range(len(pictures)):
            loop.seek(i)
            loop.load()
            times.append(int(loop.info["duration"]))
        return times, [np.asarray(p) for p in pictures], {str(key): value for key, value in loop.info.items()}


@pytest.mark.parametrize("form", ["gif", "webp"])
def test_a_loop_is_as_long_as_the_film_and_goes_round_for_ever(form: str, tiny: Path) -> None:
    outlet(tiny, f'form = "{form}"')
    made = make(tiny, workers=1)
    [path] = made.files
    assert path.suffix == f".{form}"
    times, pictures, told = read(path)
    unit = 10 if form == "gif" else 1
    assert abs(sum(times) - 1000 * made.frames / 24) <= unit / 2
    assert told["loop"] == 0
    assert pictures[0].shape == (36, 64, 3)
    assert all((a != b).any() for a, b in pairwise(pictures)), "what is held is not written again"
    assert made.outlets[0].told == (
        f"64 × 36, 0.75 s, {len(times)} pictures, {'255 colours' if form == 'gif' else 'quality 80'}, "
        f"{path.stat().st_size / 1e6:.2f} MB"
    )
    assert made.outlets[0].report == ""


def test_another_reader_finds_the_same_pictures_at_the_same_times(tiny: Path) -> None:
    """The codec library's own reader of GIF; of WebP that moves it has none."""
    outlet(tiny)
    [path] = make(tiny, workers=1).files
    times, pictures, _ = read(path)
    with av.open(str(path), options={"min_delay": "1"}) as film:
        shown = list(film.decode(video=0))
        decoded = [np.asarray(frame.to_ndarray(format="rgb24")) for frame in shown]
        starts = [round(1000 * float(frame.time)) for frame in shown]
    assert len(decoded) == len(pictures)
    assert starts == [sum(times[:i]) for i in range(len(times))]
    assert all((a == b).all() for a, b in zip(decoded, pictures, strict=True))


def test_a_part_of_a_scene_loops_by_itself(tiny: Path) -> None:
    outlet(tiny, 'scene = "020-sea"', "start = 0.125", "seconds = 0.125")
    [path] = make(tiny, workers=1).files
    times, [picture], _ = read(path)
    assert sum(times) in (120, 130)
    # the frame shot of real paper that stands there: (30, 30, 60), but for the table of colours
    assert np.abs(picture.astype(int) - (30, 30, 60)).max() <= 4


def test_the_standard_loop_needs_no_table_in_the_film(tiny: Path) -> None:
    [path] = make(tiny, ["loop"], workers=1).files
    assert path.name == "tiny-loop.gif"
    before = path.read_bytes()
    again = make(tiny, ["loop"], workers=1)
    assert (again.counts.segments_made, again.files[0].read_bytes()) == (0, before)
    assert not again.warnings, "it is no leftover"


def lively(root: Path) -> None:
    """A frame of noise at 320 × 180 for each exposure of the sea: nothing packs worse."""
    file = root / "film.toml"
    text = file.read_text().replace("picture = [64, 36]", "picture = [320, 180]")
    file.write_text(text, encoding="utf-8", newline="\n")
    chance = np.random.default_rng(1)
    for frame in (0, 3):
        noise = Image.fromarray(chance.integers(0, 256, (180, 320, 3), np.uint8).astype(np.uint8))
        noise.save(root / f"takes/020-sea/{frame:06d}.png")


def test_a_loop_gets_narrower_until_it_fits(tiny: Path) -> None:
    lively(tiny)
    outlet(tiny, 'scene = "020-sea"', "most_mb = 0.06")
    made = make(tiny, workers=1)
    [path] = made.files
    assert path.stat().st_size <= 60_000
    assert 120 <= read(path)[1][0].shape[1] < 320
    assert not made.outlets[0].report


def test_when_nothing_fits_the_smallest_is_made_and_it_is_said(tiny: Path) -> None:
    lively(tiny)
    outlet(tiny, 'scene = "020-sea"', "most_mb = 0.01")
    made = make(tiny, workers=1)
    assert read(made.files[0])[1][0].shape[1] == 120
    assert "0.01 were asked for; let it be shorter with `seconds`, or allow more" in made.outlets[0].report
    assert any("outlet round: the smallest loop is" in warning for warning in made.warnings)


def test_a_loop_that_starts_after_its_end_is_refused(tiny: Path) -> None:
    outlet(tiny, 'scene = "020-sea"', "start = 0.25")
    with pytest.raises(RefusedError, match=r"starts after 0\.25 s"):
        make(tiny, workers=1)
    assert not list((tiny / "made").glob("*.gif"))


def test_a_loop_of_no_scene_is_told_by_check(tiny: Path) -> None:
    outlet(tiny, 'scene = "020-see"')
    [mistake] = check(tiny).mistakes
    assert "'020-see' is not a scene of the film" in mistake.found
    assert "020-sea" in mistake.remedy


def test_small_spots_of_strong_colour_keep_it_in_few_colours() -> None:
    sky = np.full((90, 160, 3), (140, 190, 200), np.uint8)
    sky[:, :80] = np.linspace(90, 230, 80)[None, :, None]
    sky[40:46, 100:106] = (40, 200, 30)
    data = gif(lambda: iter([sky]), [10], 32)
    with Image.open(BytesIO(data)) as image:
        spot = np.asarray(image.convert("RGB"))[41:45, 101:105].reshape(-1, 3).mean(axis=0)
    assert np.abs(spot - (40, 200, 30)).max() < 16


def test_equal_pictures_are_written_once_and_counted_once() -> None:
    grey, red = np.full((16, 16, 3), 128, np.uint8), np.full((16, 16, 3), (200, 20, 20), np.uint8)
    assert written(gif(lambda: iter([grey, grey, red]), [5, 5, 5], 8)) == (16, 16, 2)
    assert written(webp(lambda: iter([grey, red, red]), [50, 50, 50], 80)) == (16, 16, 2)
