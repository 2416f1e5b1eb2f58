"""Masters, read back by this library's decoder and by another."""

from __future__ import annotations

import json
import shutil
import subprocess
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest
import soundfile
from numpy.typing import NDArray
from tests.tinyfilm import write_tiny

from splitpin.device.pictures import read_picture
from splitpin.frames.deep import DeepPlanes
from splitpin.jobs.check import check
from splitpin.jobs.make import make
from splitpin.jobs.ready import RefusedError


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def change(root: Path, old: str, new: str) -> None:
    file = root / "film.toml"
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8", newline="\n")


def probed(path: Path) -> dict[str, Any]:
    """What Debian's ffprobe, an older release of its libraries than ours, reads in a file."""
    if shutil.which("ffprobe") is None:
        pytest.skip("ffprobe, a second reader, is not installed (Debian's package ffmpeg)")
    asked: list[str | Path] = [
        "ffprobe",
        "-v",
        "error",
        "-show_streams",
        "-show_format",
        "-count_packets",
        "-of",
        "json",
        path,
    ]
    told = subprocess.run(asked, capture_output=True, check=True).stdout
    found: dict[str, Any] = json.loads(told)
    return found


def sound_of(path: Path) -> NDArray[np.float64]:
    with av.open(str(path)) as film:
        blocks = [frame.to_ndarray().reshape(-1, 2) for frame in film.decode(audio=0)]
    return np.concatenate(blocks).astype(np.float64) / 2**31


def planes_of(path: Path) -> list[list[NDArray[np.float64]]]:
    with av.open(str(path)) as film:
        return [
            [
                np.frombuffer(bytes(p), "<u2").reshape(p.height, -1)[:, : p.width].astype(np.float64)
                for p in frame.planes
            ]
            for frame in film.decode(video=0)
        ]


def test_a_master_says_what_it_is_and_is_exactly_as_long_as_the_film(tiny: Path) -> None:
    made = make(tiny, ["festival"], workers=1)
    path, *_ = made.files
    assert path.name == "tiny-festival.mov"
    found = probed(path)
    picture, sound, code = found["streams"]
    expected = {
        "codec_name": "prores",
        "profile": "HQ",
        "pix_fmt": "yuv422p10le",
        "color_primaries": "bt709",
        "color_transfer": "bt709",
        "color_space": "bt709",
        "color_range": "tv",
        "field_order": "progressive",
        "sample_aspect_ratio": "1:1",
        "r_frame_rate": "24/1",
        "nb_frames": str(made.frames),
        "nb_read_packets": str(made.frames),
    }
    assert {key: picture[key] for key in expected} == expected
    assert (sound["codec_name"], sound["sample_rate"], sound["channels"]) == ("pcm_s24le", "48000", 2)
    assert sound["duration_ts"] == made.frames * 2000
    assert (code["codec_tag_string"], code["tags"]["timecode"]) == ("tmcd", "01:00:00:00")
    assert found["format"]["tags"]["title"] == "Tiny"
    assert Fraction(found["format"]["duration"]) == Fraction(made.frames, 24)


def test_a_master_shows_the_frames_and_sounds_as_the_mix(tiny: Path) -> None:
    """Pictures within the loss of the form: 40 dB and more at 10 bits; sound to its last bit."""
    change(tiny, '[outlets.web]\neffort = "draft"', '[outlets.strip]\nkind = "pictures"\nlufs = -23.0')
    folder, wave = make(tiny, workers=1).files
    change(tiny, 'kind = "pictures"', 'kind = "master"')
    path, *_ = make(tiny, workers=1).files
    drawn = sorted(folder.glob("*.png"))
    for found, picture in zip(planes_of(path), drawn, strict=True):
        wanted = DeepPlanes(64, 36)
        wanted.update(np.ascontiguousarray(read_picture(picture)[..., :3]))
        for mine, theirs in zip(found, (wanted.luma, wanted.blue, wanted.red), strict=True):
            error = float(np.mean(np.square(mine - theirs)))
            assert error < 1023**2 / 10**4
    mix, _ = soundfile.read(wave, dtype="float64")
    assert np.array_equal(sound_of(path), mix)


def test_left_as_mixed_nothing_is_louder_than_it_was(tiny: Path) -> None:
    made = make(tiny, ["festival", "broadcast"], workers=1)
    festival, broadcast = made.outlets
    assert broadcast.loudness == pytest.approx(-23.0, abs=0.2)
    assert festival.loudness != pytest.approx(-23.0, abs=1.0)
    assert festival.true_peak is not None
    assert festival.true_peak <= -1.0


@pytest.mark.parametrize("pitch", ["raised", "kept"])
def test_the_broadcast_runs_faster_frame_by_frame_and_says_so(pitch: str, tiny: Path) -> None:
    change(
        tiny,
        '[outlets.web]\neffort = "draft"',
        f'[outlets.tv]\nkind = "master"\nrate = "25"\npitch = "{pitch}"',
    )
    made = make(tiny, workers=1)
    path, *_ = made.files
    picture, sound, code = probed(path)["streams"]
    assert (picture["r_frame_rate"], picture["nb_frames"]) == ("25/1", str(made.frames))
    assert sound["duration_ts"] == made.frames * 1920
    assert code["tags"]["timecode"] == "01:00:00:00"
    assert made.outlets[0].told.startswith("runs 4.2 % faster than the film: ")
    assert made.outlets[0].told.endswith(f"its pitch is {'kept' if pitch == 'kept' else 'raised with it'}")


def test_a_second_master_codes_no_frame_again(tiny: Path) -> None:
    first = make(tiny, ["festival"], workers=1)
    again = make(tiny, ["festival", "broadcast"], workers=1)
    assert (first.counts.segments_made, again.counts.segments_made) == (2, 0)


def test_the_same_folder_gives_the_same_master_bit_for_bit(tiny: Path, tmp_path: Path) -> None:
    other = write_tiny(tmp_path / "other")
    one, two = (make(root, ["festival"], workers=n).files[0] for root, n in ((tiny, 1), (other, 2)))
    assert one.read_bytes() == two.read_bytes()


@pytest.mark.parametrize(
    ("rate", "shown", "timecode", "told"),
    [
        ("30", "25", "01:00:00:00", "16.7% slower"),
        ("24", "24", "01:00:00:24", "up to 23:59:59:23"),
        ("24", "24", "01:00:00;00", "no drop-frame labels"),
        ("30000/1001", "30000/1001", "00:01:00;00", "leaves out"),
    ],
)
def test_what_cannot_be_is_told_by_check_and_refused_by_make(
    rate: str, shown: str, timecode: str, told: str, tiny: Path
) -> None:
    change(tiny, 'rate = "24"', f'rate = "{rate}"')
    change(
        tiny,
        '[outlets.web]\neffort = "draft"',
        f'[outlets.tv]\nkind = "master"\nrate = "{shown}"\ntimecode = "{timecode}"',
    )
    [mistake] = check(tiny).mistakes
    assert told in " ".join(map(str, mistake))
    with pytest.raises(RefusedError, match=told):
        make(tiny, workers=1)
    assert not list((tiny / "made").glob("*.mov")) if (tiny / "made").exists() else True


def test_drop_frame_time_code_is_written_where_there_is_any(tiny: Path) -> None:
    change(tiny, 'rate = "24"', 'rate = "30000/1001"')
    change(tiny, '[outlets.web]\neffort = "draft"', '[outlets.tv]\nkind = "master"\ntimecode = "10:00:00;00"')
    path, *_ = make(tiny, workers=1).files
    assert probed(path)["streams"][2]["tags"]["timecode"] == "10:00:00;00"
