"""A film has its captions beside it, inside it or in its pictures, and other programs find them there."""

from __future__ import annotations

import os
import shutil
import subprocess
from datetime import timedelta
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
import srt
from numpy.typing import NDArray
from tests.tinyfilm import write_tiny

from splitpin.device.film_captions import THREE_LETTERS, iso_language
from splitpin.jobs.make import make


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = write_tiny(tmp_path / "film")
    film = root / "film.toml"
    text = film.read_text().replace("picture = [64, 36]", "picture = [320, 180]")
    film.write_text(f'language = "fr"\n{text}')
    return root


def outlet(root: Path, places: str) -> None:
    film = root / "film.toml"
    film.write_text(film.read_text().replace('effort = "draft"', f'effort = "draft"\ncaptions = {places}'))


def pictures(file: Path) -> list[NDArray[np.uint8]]:
    with av.open(str(file)) as film:
        return [np.asarray(f.to_ndarray(format="gray"), np.uint8) for f in film.decode(video=0)]


def test_captions_lie_beside_a_film_and_inside_it_on_their_frames(root: Path) -> None:
    made = make(root, workers=1)
    film, vtt, subrip = made.files
    assert (vtt.suffix, subrip.suffix) == (".vtt", ".srt")
    (line,) = srt.parse(subrip.read_text())
    assert (line.content, line.start, line.end) == (
        "Mrow?", timedelta(seconds=6 / 24), timedelta(seconds=12 / 24),
    )  # fmt: skip
    with av.open(str(film)) as read:
        (stream,) = read.streams.subtitles
        assert (stream.codec_context.name, stream.language) == ("mov_text", "fra")
        assert stream.time_base == Fraction(1, 24)
        samples = [(p.pts, p.duration, bytes(p)) for p in read.demux(stream) if p.size]
    # what comes before it is empty; a text has its length in two bytes before it
    assert samples == [(0, 6, b"\0\0"), (6, 6, b"\0\5Mrow?")]
    with av.open(str(film)) as read:
        assert sum(1 for _ in read.decode(video=0)) == made.frames


def test_a_second_reader_finds_the_track(root: Path) -> None:
    if shutil.which("ffmpeg") is None and not os.environ.get("SPLITPIN_NO_SKIPS"):
        pytest.skip("ffmpeg, a second reader of films, is not installed (Debian's package ffmpeg)")
    film = make(root, workers=1).files[0]
    told = subprocess.run(
        ["ffmpeg", "-v", "error", "-i", film, "-map", "0:s", "-f", "srt", "-"],
        capture_output=True, check=True, text=True,
    )  # fmt: skip
    (line,) = srt.parse(told.stdout)
    assert "Mrow?" in line.content
    assert line.start == timedelta(milliseconds=250)


def test_without_captions_nothing_lies_beside_and_nothing_old_stays(root: Path) -> None:
    make(root, workers=1)
    outlet(root, "[]")
    made = make(root, workers=1)
    assert [file.suffix for file in made.files] == [".mp4"]
    assert not list((root / "made").glob("*.srt"))
    with av.open(str(made.files[0])) as film:
        assert not film.streams.subtitles
    assert made.counts.segments_made == 0, "only the joining is done again"


def test_burnt_captions_are_seen_while_they_stand_and_only_there(root: Path) -> None:
    plain = pictures(make(root, workers=1).files[0])
    outlet(root, '["burnt"]')
    made = make(root, workers=1)
    shown = pictures(made.files[0])
    apart = [np.abs(a.astype(int) - b) for a, b in zip(plain, shown, strict=True)]
    letters = [float(a[150:171].max()) for a in apart]
    assert max(letters[:6] + letters[12:]) < 25
    assert min(letters[6:12]) > 80
    # nothing above the lowest quarter, nor within five hundredths of the edge
    assert all(a[:135].max() < 25 and a[174:].max() < 25 for a in apart)
    assert make(root, workers=1).counts.segments_made == 0


def master(root: Path, keys: str) -> None:
    film = root / "film.toml"
    film.write_text(
        film.read_text().replace("[outlets.web]", f'[outlets.tv]\nkind = "master"\n{keys}\n\n[outlets.web]')
    )


@pytest.mark.parametrize("pitch", ["raised", "kept"])
def test_captions_of_a_broadcast_go_faster_with_its_pictures(pitch: str, root: Path) -> None:
    master(root, f'rate = "25"\npitch = "{pitch}"')
    film, vtt, subrip = make(root, ["tv"], workers=1).files
    assert (film.suffix, vtt.suffix, subrip.suffix) == (".mov", ".vtt", ".srt")
    # by hand: frames 6 to 12, 40 ms each
    (line,) = srt.parse(subrip.read_text())
    assert (line.start, line.end) == (timedelta(seconds=0.24), timedelta(seconds=0.48))
    assert "00:00:00.240 --> 00:00:00.480" in vtt.read_text()


def test_captions_of_a_broadcast_stand_as_long_as_they_must_at_its_own_rate(root: Path) -> None:
    """Five sixths of a second are 20 frames at 24 and 21 at 25: read faster, they stand for more frames."""
    scene = root / "scenes/010-hill.toml"
    scene.write_text(scene.read_text().replace("seconds = 0.25", "seconds = 2"))
    text = (root / "film.toml").read_text()
    (root / "film.toml").write_text(text.replace("shortest = 0.2", "shortest = 2.5"))
    master(root, 'rate = "25"')
    files = make(root, workers=1).files
    ends = [next(srt.parse(file.read_text())).end for file in files if file.suffix == ".srt"]
    assert ends == [timedelta(seconds=54 / 25), timedelta(seconds=54 / 24)]


def test_captions_of_a_broadcast_come_after_what_it_opens_with(root: Path) -> None:
    master(root, 'rate = "25"\nopens = ["slate"]')
    [_, _, subrip] = make(root, ["tv"], workers=1).files
    (line,) = srt.parse(subrip.read_text())
    assert line.start == timedelta(seconds=5.24)


def test_captions_are_burnt_into_a_broadcast_on_the_frames_they_belong_to(root: Path) -> None:
    master(root, 'rate = "25"\ncaptions = []')
    [plain] = make(root, ["tv"], workers=1).files
    before = pictures(plain)
    film = root / "film.toml"
    film.write_text(film.read_text().replace("captions = []", 'captions = ["burnt"]'))
    [burnt] = make(root, ["tv"], workers=1).files
    apart = [float(np.abs(a.astype(int) - b).max()) for a, b in zip(before, pictures(burnt), strict=True)]
    assert max(apart[:6] + apart[12:]) == 0
    assert min(apart[6:12]) > 80


def test_languages_are_told_in_three_letters() -> None:
    assert all(len(code) == 3 for code in THREE_LETTERS.values())
    assert (iso_language("de-AT"), iso_language("und"), iso_language("qq")) == ("deu", "und", "und")
