"""Heads of WAV files that are large, or promise what is not there: read, or plainly refused, by both who read
them: the check of the folder and the decoder.
"""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest

from splitpin.device.soundfile_reader import read_blocks
from splitpin.folder.mistake import FileError
from splitpin.folder.sounds import measure_sound
from splitpin.sound.source import SoundError

SAMPLES = 480


def wav(before: bytes = b"", width: int = 2, data_says: int | None = None) -> bytes:
    """A second's hundredth of a ramp, mono at 48 kHz, with chunks before its data."""
    ramp = np.arange(SAMPLES) * 50
    data = (ramp.astype("<i2") if width == 2 else (128 + ramp // 256).astype(np.uint8)).tobytes()
    form = struct.pack("<4sIHHIIHH", b"fmt ", 16, 1, 1, 48_000, 48_000 * width, width, 8 * width)
    body = (
        b"WAVE" + form + before + b"data" + struct.pack("<I", len(data) if data_says is None else data_says)
    )
    return b"RIFF" + struct.pack("<I", len(body) + len(data)) + body + data


def chunk(size: int, says: int | None = None, name: bytes = b"LIST") -> bytes:
    return name + struct.pack("<I", size if says is None else says) + bytes(size)


@pytest.mark.parametrize("width", [1, 2])
@pytest.mark.parametrize("size", [0, 4, 1_000, 5_000_000])
def test_a_head_of_any_size_before_the_sound_is_passed_over(size: int, width: int, tmp_path: Path) -> None:
    file = tmp_path / "a.wav"
    file.write_bytes(wav(chunk(size), width))
    assert measure_sound(file).samples == SAMPLES
    sound = np.concatenate(list(read_blocks(file)))
    assert sound.shape == (SAMPLES, 2)
    np.testing.assert_allclose(
        sound[:, 0], np.arange(SAMPLES) * 50 / 32_768, atol=1 / 128 if width == 1 else 1e-6
    )


@pytest.mark.parametrize(
    "content",
    [
        wav(chunk(100, says=0xFFFFFFF0)),
        wav(chunk(100, says=50_000_000)),
        wav(data_says=2_000_000_000),
        wav()[:40],
        wav()[:20],
        b"RIFF\xff\xff\xff\xffWAVE" + bytes(64),
    ],
    ids=["endless", "too long", "sound too long", "no data", "no form", "nothing"],
)
def test_a_head_that_promises_what_is_not_there_is_refused_by_both(content: bytes, tmp_path: Path) -> None:
    file = tmp_path / "a.wav"
    file.write_bytes(content)
    with pytest.raises(FileError):
        measure_sound(file)
    with pytest.raises(SoundError):
        list(read_blocks(file))
