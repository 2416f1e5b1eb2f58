"""``splitpin screen`` on real film files, and the screening of what is made."""

from __future__ import annotations

import json
from pathlib import Path
from typing import cast

import av
import numpy as np
import pytest
from av.video.stream import VideoStream
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.folder.mistake import FolderError
from splitpin.jobs import outlet_screening
from splitpin.jobs.make import make
from splitpin.jobs.screen import MOST, screen, screened_as_data


def write_film(
    path: Path, levels: list[int], rate: int = 30, size: tuple[int, int] = (160, 90), codec: str = "libx264"
) -> Path:
    with av.open(str(path), "w") as film:
        stream = cast(VideoStream, film.add_stream(codec, rate=rate))
        stream.width, stream.height = size
        stream.pix_fmt = "yuv420p" if codec == "libx264" else "bgr0"
        for level in levels:
            frame = av.VideoFrame.from_ndarray(
                np.full((size[1], size[0], 3), level, np.uint8), format="rgb24"
            )
            film.mux(stream.encode(frame))
        film.mux(stream.encode(None))
    return path


@pytest.mark.parametrize("codec", ["libx264", "ffv1"])
@pytest.mark.parametrize("size", [(64, 36), (640, 480), (1280, 720)])
def test_a_level_more_or_less_decides_in_a_coded_film_too(
    tmp_path: Path, codec: str, size: tuple[int, int]
) -> None:
    """64 and 109 are a tenth of full luminance apart, 64 and 108 are not (jbjord/pse-test-media, BSD-3)."""
    for level, passes in ((109, False), (108, True)):
        path = write_film(tmp_path / f"{level}.mkv", [64, level] * 20, size=size, codec=codec)
        assert screen(path).passed is passes


def test_the_command_tells_spans_and_writes_pictures(tmp_path: Path) -> None:
    path = write_film(tmp_path / "a.mp4", [90] * 30 + [0, 255] * 15 + [90] * 30)
    done = CliRunner().invoke(build(), ["screen", str(path), "--json", "--pictures", str(tmp_path / "out")])
    assert done.exit_code == 3
    told = json.loads(done.stdout)
    assert told["passed"] is False
    assert told["red"] == []
    (span,) = told["general"]
    assert (span["start_frame"], span["end_frame"]) == (30, 60)
    assert (span["start_seconds"], span["end_seconds"]) == (1.0, round(61 / 30, 6))
    assert "guidance" in told["notice"]
    names = sorted(Path(file).name for file in told["files"])
    assert names[0] == "flashes.svg"
    assert len(names) == 3
    assert all(Path(file).stat().st_size for file in told["files"])
    words = CliRunner().invoke(build(), ["screen", str(path)])
    assert words.exit_code == 3
    assert "1.00 s to 2.03 s" in words.stdout
    assert "no certificate" in words.stdout


def test_what_passes_ends_with_nothing(tmp_path: Path) -> None:
    path = write_film(tmp_path / "a.mp4", [90] * 24)
    done = CliRunner().invoke(build(), ["screen", str(path), "--json"])
    assert done.exit_code == 0
    told = json.loads(done.stdout)
    assert (told["passed"], told["frames"], told["general"]) == (True, 24, [])


def test_few_pictures_are_kept_of_many_spans(tmp_path: Path) -> None:
    path = write_film(tmp_path / "a.mp4", ([0, 255] * 4 + [90] * 32) * (MOST + 3), size=(32, 18))
    found = screen(path)
    assert len(found.verdict.spans) == MOST + 3
    assert len(found.worst) <= MOST
    assert screened_as_data(found)["passed"] is False


def test_what_is_no_film_is_refused_in_words(tmp_path: Path) -> None:
    text, sound = tmp_path / "a.mp4", tmp_path / "b.mp4"
    text.write_text("no film")
    whole = write_film(tmp_path / "whole.mp4", [90] * 60).read_bytes()
    sound.write_bytes(whole[: len(whole) // 2])
    for path in (text, sound, tmp_path, tmp_path / "gone.mp4"):
        with pytest.raises(FolderError):
            screen(path)
        done = CliRunner().invoke(build(), ["screen", str(path)])
        assert done.exit_code in (1, 2)
        assert "Traceback" not in done.output


def test_making_screens_once_and_warns_of_flashes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = write_tiny(tmp_path / "tiny")
    made = make(root)
    assert made.outlets[0].screening is not None
    assert made.outlets[0].screening["passed"]
    assert len(list((root / "made/screened").rglob("screening.json"))) == 1
    again: list[Path] = []
    monkeypatch.setattr(outlet_screening, "screen", lambda path, *_: again.append(path))
    assert make(root).outlets[0].screening == made.outlets[0].screening
    assert again == []
