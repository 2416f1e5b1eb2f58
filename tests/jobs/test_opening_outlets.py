"""Films and masters with bars, a slate and a leader before them, read back."""

from __future__ import annotations

import json
import shutil
import subprocess
from datetime import timedelta
from pathlib import Path
from typing import Any

import av
import numpy as np
import opentimelineio as otio
import pytest
import srt
from numpy.typing import NDArray
from tests.tinyfilm import write_tiny

from splitpin.frames.bars import BARS
from splitpin.jobs.check import check
from splitpin.jobs.make import make

ALL = 'opens = ["leader", "bars", "slate"]'
AHEAD = 23
"""Seconds: 10 of bars, 5 of slate, 8 of leader."""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "film")


def outlet(root: Path, *lines: str) -> None:
    film = root / "film.toml"
    text = film.read_text().replace("[outlets.web]\n", "\n".join(["[outlets.web]", *lines, ""]))
    film.write_text(text.replace("picture = [64, 36]", "picture = [320, 180]"))


def master(root: Path, *lines: str) -> None:
    outlet(root, 'kind = "master"', *lines)
    film = root / "film.toml"
    film.write_text(film.read_text().replace('effort = "draft"\n', ""))


def read(path: Path) -> tuple[list[NDArray[np.uint8]], NDArray[np.float64]]:
    """Pictures and sound of a file, as the codec library decodes them."""
    with av.open(str(path)) as film:
        pictures = [np.asarray(f.to_ndarray(format="rgb24"), np.uint8) for f in film.decode(video=0)]
    with av.open(str(path)) as film:
        blocks = []
        for frame in film.decode(audio=0):
            block = frame.to_ndarray()
            whole = block.T if block.dtype == np.float32 else block.reshape(-1, 2) / 2**31
            blocks.append(whole.astype(np.float64)[max(0, -(frame.pts or 0)) :])
    return pictures, np.concatenate(blocks)


def colours(path: Path, number: int) -> NDArray[np.float64]:
    """A picture's R'G'B', 0 to 255, reckoned from its planes by ITU-R BT.709, 3.2 to 3.6; half its size.

    The codec library's own way back to RGB is a quick one and strays by 3.
    """
    with av.open(str(path)) as film:
        frame = next(f for i, f in enumerate(film.decode(video=0)) if i == number)
    deep = frame.format.name.endswith("10le")
    kind, scale = ("<u2", 4.0) if deep else ("<u1", 1.0)
    y, b, r = (
        np.frombuffer(bytes(p), kind).reshape(p.height, -1)[:, : p.width] / scale for p in frame.planes
    )
    down = y.shape[0] // b.shape[0]
    luma, blue, red = (y[::2, ::2] - 16) / 219, (b[:: 2 // down] - 128) / 224, (r[:: 2 // down] - 128) / 224
    rgb = (luma + 1.5748 * red, luma - 0.1873 * blue - 0.4681 * red, luma + 1.8556 * blue)
    return np.stack(rgb, axis=-1) * 255


def probed(path: Path) -> dict[str, Any]:
    """What Debian's ffprobe, an older release of its libraries than ours, reads in a file."""
    if shutil.which("ffprobe") is None:
        pytest.skip("ffprobe, a second reader, is not installed (Debian's package ffmpeg)")
    asked: list[str | Path] = ["ffprobe", "-v", "error", "-show_streams", "-count_packets", "-of", "json"]
    found: dict[str, Any] = json.loads(subprocess.run([*asked, path], capture_output=True, check=True).stdout)
    return found


def decibels(sound: NDArray[np.float64]) -> float:
    """The peak of a sine of this power, dBFS."""
    return float(20 * np.log10(np.sqrt(2 * np.mean(np.square(sound)))))


def check_opening(
    path: Path, rate: int, level: float, near: int
) -> tuple[list[NDArray[np.uint8]], NDArray[np.float64]]:
    """Bars, tone, figures and the short tone, all where they should be, to the frame and the sample."""
    pictures, sound = read(path)
    seen = colours(path, 5 * rate)
    for i, colour in enumerate(BARS):
        middle = seen[30:60, 20 * i + 5 : 20 * i + 15]
        assert np.abs(middle - colour).max() <= 2, colour
    assert decibels(sound[48_000 : 9 * 48_000]) == pytest.approx(level, abs=0.2)
    assert np.abs(sound[10 * 48_000 + near : 21 * 48_000 - near]).max() < 1e-3
    frame = 48_000 // rate
    pop = sound[21 * 48_000 : 21 * 48_000 + frame]
    assert decibels(pop[frame // 4 : -frame // 4]) == pytest.approx(level, abs=0.2)
    assert np.abs(sound[21 * 48_000 + frame + near : 23 * 48_000 - near]).max() < 1e-3
    # one figure, then two seconds of black but for that one frame
    assert pictures[21 * rate].max() > 200
    assert max(int(p.max()) for p in pictures[21 * rate + 1 : 23 * rate]) < 4
    assert pictures[23 * rate].max() > 8
    return pictures, sound


def test_a_master_opens_to_the_frame_and_its_film_begins_on_the_label_that_was_set(root: Path) -> None:
    master(root, ALL, "date = 2026-03-01", 'revision = "2"', 'timecode = "10:00:00:00"', 'rate = "25"')
    plain = root / "film.toml"
    made = make(root, workers=1)
    path, *_ = made.files
    picture, heard, code = probed(path)["streams"]
    frames = made.frames + AHEAD * 25
    assert (picture["nb_frames"], picture["nb_read_packets"]) == (str(frames), str(frames))
    assert heard["duration_ts"] == frames * 1920
    assert code["tags"]["timecode"] == "09:59:37:00"
    pictures, sound = check_opening(path, 25, -18.0, near=0)
    assert (len(pictures), len(sound)) == (frames, frames * 1920)
    assert "opens with bars, slate and leader, 23 s, tone of 1 kHz at −18 dBFS" in made.outlets[0].told
    assert made.outlets[0].told.endswith("it begins at 09:59:37:00 and the film at 10:00:00:00")
    assert make(root, workers=1).files[0].read_bytes() == path.read_bytes()
    plain.write_text(plain.read_text().replace(ALL, ""))
    path, *_ = make(root, workers=1).files
    alone, silent = read(path)
    assert all((a == b).all() for a, b in zip(alone, pictures[AHEAD * 25 :], strict=True))
    assert np.array_equal(silent, sound[AHEAD * 48_000 :])


def test_a_film_opens_to_the_frame_and_is_as_loud_as_without(root: Path) -> None:
    outlet(root, ALL)
    made = make(root, workers=1)
    film, vtt, subrip = made.files
    # coding with loss smears what is cut off sharply over a block
    pictures, _ = check_opening(film, 24, -20.0, near=2048)
    assert len(pictures) == made.frames + AHEAD * 24
    assert made.loudness == pytest.approx(-14.0, abs=0.2)
    assert made.outlets[0].range is not None
    (line,) = srt.parse(subrip.read_text())
    assert line.start == timedelta(seconds=AHEAD, milliseconds=250)
    assert "00:00:23.250" in vtt.read_text()
    with av.open(str(film)) as read_back:
        (stream,) = read_back.streams.subtitles
        samples = [(p.pts, bytes(p)) for p in read_back.demux(stream) if p.size > 2]
    assert samples == [(AHEAD * 24 + 6, b"\0\5Mrow?")]
    streams = probed(film)["streams"]
    assert streams[0]["nb_read_packets"] == str(made.frames + AHEAD * 24)
    assert streams[0]["duration"] == streams[1]["duration"] == "23.750000"


def test_a_timeline_finds_the_film_after_what_its_file_opens_with(root: Path) -> None:
    outlet(root, 'opens = ["leader"]')
    path = make(root, ["timeline"], workers=1).files[0]
    timeline = otio.adapters.read_from_file(str(path))
    clip = next(iter(timeline.find_clips()))
    assert clip.source_range.start_time.to_frames() == 8 * 24


def test_what_a_film_cannot_open_with_is_told(root: Path) -> None:
    outlet(root, 'opens = ["slat"]')
    [mistake] = check(root).mistakes
    assert mistake.line is not None
    assert "slat" in mistake.found
    assert "slate" in mistake.expected
