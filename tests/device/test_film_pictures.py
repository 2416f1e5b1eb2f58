"""Pictures read and written."""

from __future__ import annotations

import io
import struct
import zlib
from pathlib import Path

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image

from splitpin.device.pictures import PictureError, encode_png, read_picture, write_png


def colours(height: int, width: int, channels: int, seed: int = 0) -> NDArray[np.uint8]:
    return np.random.default_rng(seed).integers(0, 256, (height, width, channels), np.uint8)


@settings(max_examples=25)
@given(height=st.integers(1, 40), width=st.integers(1, 40), channels=st.sampled_from([3, 4]))
def test_a_png_comes_back_bit_for_bit(
    height: int, width: int, channels: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("png") / "a.png"
    picture = colours(height, width, channels)
    write_png(path, picture)
    back = read_picture(path)
    assert np.array_equal(back[..., :channels], picture)
    assert channels == 4 or (back[..., 3] == 255).all()
    assert [p.name for p in path.parent.iterdir()] == ["a.png"]


def test_sixteen_bits_are_scaled_to_eight(tmp_path: Path) -> None:
    wide = np.arange(65536, dtype=np.uint16).reshape(256, 256)
    cv2.imwrite(str(tmp_path / "grey.png"), wide)
    cv2.imwrite(str(tmp_path / "rgb.png"), np.repeat(wide[..., None], 3, axis=2))
    grey, rgb = read_picture(tmp_path / "grey.png"), read_picture(tmp_path / "rgb.png")
    exact = wide.astype(np.float64) * 255 / 65535
    assert np.abs(grey[..., 0] - exact).max() <= 0.51
    assert np.abs(rgb[..., 1] - exact).max() <= 1.0


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "CMYK", "I;16"])
def test_every_mode_becomes_colour_with_alpha(mode: str, tmp_path: Path) -> None:
    picture = Image.new("L", (5, 4), 128)
    picture = Image.new("I;16", (5, 4), 128 * 257) if mode == "I;16" else picture.convert(mode)
    path = tmp_path / ("a.jpg" if mode == "CMYK" else "a.png")
    picture.save(path)
    back = read_picture(path)
    assert (back.shape, back.dtype) == ((4, 5, 4), np.dtype(np.uint8))
    assert (back[..., 3] == 255).all()
    if mode != "1":
        assert np.abs(back[..., :3].astype(int) - 128).max() <= 2


def test_a_palette_keeps_its_transparency(tmp_path: Path) -> None:
    picture = Image.new("P", (2, 1))
    picture.putpalette([255, 0, 0, 0, 255, 0])
    picture.putpixel((1, 0), 1)
    picture.save(tmp_path / "a.png", transparency=1)
    assert read_picture(tmp_path / "a.png")[0].tolist() == [[255, 0, 0, 255], [0, 255, 0, 0]]


def test_a_camera_held_sideways_is_obeyed(tmp_path: Path) -> None:
    """EXIF 2.3, 4.6.4: orientation 6 is turned a quarter to the right to be seen."""
    picture = Image.new("RGB", (32, 16), (0, 0, 0))
    picture.paste((255, 255, 255), (0, 0, 8, 16))
    exif = Image.Exif()
    exif[0x0112] = 6
    picture.save(tmp_path / "a.jpg", exif=exif, quality=95)
    back = read_picture(tmp_path / "a.jpg")
    assert back.shape[:2] == (32, 16)
    assert back[2, 8, 0] > 200
    assert back[28, 8, 0] < 50


def test_a_picture_that_claims_to_be_enormous_is_refused_unread(tmp_path: Path) -> None:
    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    data = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")
    (tmp_path / "a.png").write_bytes(b"\x89PNG\r\n\x1a\n" + data)
    with pytest.raises(PictureError):
        read_picture(tmp_path / "a.png")


@settings(max_examples=50)
@given(cut=st.floats(0, 0.95), seed=st.integers(0, 9))
def test_a_broken_file_is_refused_in_words(
    cut: float, seed: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("broken") / "a.png"
    whole = encode_png(colours(30, 30, 3, seed))
    path.write_bytes(whole[: int(cut * len(whole))])
    with pytest.raises(PictureError, match=r"not a picture|breaks off|damaged"):
        read_picture(path)


@pytest.mark.parametrize("kind", ["GIF", "BMP"])
def test_other_kinds_are_refused_whatever_they_are_called(kind: str, tmp_path: Path) -> None:
    file = io.BytesIO()
    Image.new("RGB", (4, 4)).save(file, kind)
    (tmp_path / "a.png").write_bytes(file.getvalue())
    with pytest.raises(PictureError):
        read_picture(tmp_path / "a.png")


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(PictureError):
        read_picture(tmp_path / "none.png")
