"""The picture track: what it is made with, what it says of itself, and its colours row by row."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from numpy.typing import NDArray

from splitpin.device import film_picture
from splitpin.device.film_join import join_film
from splitpin.device.film_picture import PictureTrack, SegmentCoder
from splitpin.device.film_sound import code_sound
from splitpin.frames.yuv import Planes


def film_of(rgb: NDArray[np.uint8], folder: Path, frames: int = 3) -> Path:
    """A film of one picture."""
    height, width = rgb.shape[:2]
    track = PictureTrack(width, height, Fraction(24), quality=1)
    coder = SegmentCoder(track)
    planes = Planes(width, height)
    planes.luma, planes.blue, planes.red = coder.luma, coder.blue, coder.red
    planes.update(rgb)
    coder.hold(frames)
    sound = code_sound([np.zeros((2000 * frames, 2), np.float32)])
    join_film(folder / "film.mp4", track, [coder.finish()], sound, {})
    return folder / "film.mp4"


@pytest.mark.parametrize("height", [16, 18, 22, 36, 38, 50])
def test_every_row_of_chroma_comes_back_where_it_was(height: int, tmp_path: Path) -> None:
    """Heights that are two more than a multiple of four as well: there a chroma plane has an odd number of
    rows, and a plane laid out wrongly begins in the middle of one.
    """
    width = 64
    rgb = np.zeros((height, width, 3), np.uint8)
    ramp = np.linspace(0, 255, height // 2).round().astype(np.uint8).repeat(2)
    rgb[..., 0], rgb[..., 2] = ramp[:, None], ramp[::-1, None]
    expected = Planes(width, height)
    expected.update(rgb)
    with av.open(str(film_of(rgb, tmp_path))) as film:
        frame = next(film.decode(video=0))
    for plane, whole in zip(frame.planes, (expected.luma, expected.blue, expected.red), strict=True):
        rows = np.frombuffer(bytes(plane), np.uint8).reshape(plane.height, plane.line_size)[:, : plane.width]
        assert np.abs(rows.astype(int) - whole).max() <= 3


class Bits:
    """ITU-T H.264, 7.2 and 9.1: bits from the highest, and Exp-Golomb numbers."""

    def __init__(self, data: bytes) -> None:
        plain = data.replace(b"\0\0\3", b"\0\0")  # 7.4.1: without emulation prevention
        self._bits = "".join(f"{byte:08b}" for byte in plain)
        self._at = 0

    def u(self, count: int) -> int:
        self._at += count
        return int(self._bits[self._at - count : self._at], 2)

    def ue(self) -> int:
        zeros = self._bits.index("1", self._at) - self._at
        self._at += zeros
        return self.u(zeros + 1) - 1


def test_the_film_says_how_its_colours_are_meant(tmp_path: Path) -> None:
    """ITU-T H.264, 7.3.2.1.1 and E.1.1: limited range, BT.709 thrice, and chroma in the middle of its four
    pixels (chroma_sample_loc_type 1), which is where the mean of the four lies.
    """
    with av.open(str(film_of(np.full((36, 64, 3), 90, np.uint8), tmp_path))) as film:
        head = film.streams.video[0].codec_context.extradata or b""
    bits = Bits(head[8 : 8 + int.from_bytes(head[6:8], "big")][1:])
    assert bits.u(8) == 100  # high profile
    bits.u(16)
    bits.ue()
    assert bits.ue() == 1  # 4:2:0
    assert (bits.ue(), bits.ue()) == (0, 0)  # 8 bits
    assert bits.u(2) == 0
    bits.ue()
    if bits.ue() == 0:
        bits.ue()
    bits.ue()
    bits.u(1)
    bits.ue(), bits.ue()
    assert bits.u(1) == 1  # whole frames
    bits.u(1)
    if bits.u(1):
        assert [bits.ue() for _ in range(4)] == [0, 0, 0, 6]  # 48 rows coded, 12 of them cropped, in pairs
    assert bits.u(1) == 1  # it says something of itself
    if bits.u(1):
        assert bits.u(8) == 1  # square pixels
    if bits.u(1):
        bits.u(1)
    assert bits.u(1) == 1
    bits.u(3)
    assert bits.u(1) == 0  # limited range
    assert bits.u(1) == 1
    assert (bits.u(8), bits.u(8), bits.u(8)) == (1, 1, 1)
    assert bits.u(1) == 1
    assert (bits.ue(), bits.ue()) == (1, 1)


@pytest.mark.parametrize(
    ("name", "other"),
    [("PRESET", {"fine": "slow"}), ("LOOKAHEAD", {"fine": 20}), ("LOOKAHEAD_PIXELS", 10)],
)
def test_another_way_of_coding_is_another_signature(
    name: str, other: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was coded in the old way must not be joined to what is coded in the new one."""
    track = PictureTrack(64, 36, Fraction(24))
    before = track.signature
    monkeypatch.setattr(film_picture, name, other)
    assert track.signature != before
