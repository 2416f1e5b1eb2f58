"""Numbered pictures of a whole folder, read back by readers that did not write them."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import cv2
import numpy as np
import pytest
import tifffile
from PIL import Image
from tests.tinyfilm import write_tiny

from splitpin.device.pictures import read_picture
from splitpin.device.tiff_writer import encode_tiff
from splitpin.jobs.make import make


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def test_tiff_frames_are_those_of_the_png_files_to_the_last_bit(tiny: Path) -> None:
    film = tiny / "film.toml"
    text = film.read_text()
    both = '[outlets.fine]\nkind = "pictures"\nform = "tiff"\n\n[outlets.strip]\nkind = "pictures"'
    film.write_text(text.replace('[outlets.web]\neffort = "draft"', both), encoding="utf-8", newline="\n")
    made = make(tiny, workers=1)
    fine, _, strip, _ = made.files
    drawn = sorted(strip.glob("*.png"))
    assert [file.stem for file in sorted(fine.glob("*.tiff"))] == [file.stem for file in drawn]
    assert len(drawn) == made.frames
    for file, picture in zip(sorted(fine.glob("*.tiff")), drawn, strict=True):
        wanted = read_picture(picture)[..., :3]
        assert np.array_equal(tifffile.imread(file), wanted)
        read = cv2.imread(str(file), cv2.IMREAD_UNCHANGED)
        assert read is not None
        assert np.array_equal(read[..., ::-1], wanted)
    assert make(tiny, workers=1).counts.segments_made == 0


def test_a_tiff_says_that_it_is_srgb_packed_without_loss_and_the_same_every_time() -> None:
    ramp = np.repeat(np.arange(256, dtype=np.uint8)[None, :, None], 3, axis=2).repeat(8, axis=0)
    assert encode_tiff(ramp) == encode_tiff(ramp.copy())
    with Image.open(BytesIO(encode_tiff(ramp))) as picture:
        assert picture.info["compression"] == "tiff_adobe_deflate"
        assert b"sRGB" in picture.info["icc_profile"].replace(b"\0", b"")
        assert np.array_equal(np.asarray(picture), ramp)


def test_loudness_range_and_peak_are_told_of_every_outlet_with_sound(tiny: Path) -> None:
    made = make(tiny, ["web", "festival", "stills", "podcast", "loop"], workers=1)
    for outlet in made.outlets:
        numbers = (outlet.loudness, outlet.true_peak, outlet.range)
        if outlet.name == "loop":
            assert numbers == (None, None, None)
        else:
            assert all(number is not None for number in numbers), outlet.name
