"""Planes of 10 bits, against another converter and by hand."""

from __future__ import annotations

import av
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from splitpin.frames.deep import DeepPlanes
from splitpin.frames.rect import Rect


def noise(width: int, height: int, block: int = 1) -> NDArray[np.uint8]:
    small = np.random.default_rng(5).integers(0, 256, (height // block, width // block, 3), np.uint8)
    return np.ascontiguousarray(small.repeat(block, 0).repeat(block, 1))


def converted(rgb: NDArray[np.uint8]) -> DeepPlanes:
    planes = DeepPlanes(rgb.shape[1], rgb.shape[0])
    planes.update(rgb)
    return planes


def by_swscale(rgb: NDArray[np.uint8]) -> list[NDArray[np.int64]]:
    frame = av.VideoFrame.from_ndarray(rgb, format="rgb24").reformat(
        format="yuv422p10le", dst_colorspace="ITU709", src_color_range="JPEG", dst_color_range="MPEG"
    )
    return [
        np.frombuffer(bytes(p), "<u2").reshape(p.height, p.line_size // 2)[:, : p.width].astype(np.int64)
        for p in frame.planes
    ]


def test_luma_and_chroma_are_those_of_another_converter() -> None:
    """swscale works with factors of 15 bits: within 2 of 1024 steps; chroma away from edges of colours."""
    rgb = noise(128, 96, 16)
    ours, theirs = converted(rgb), by_swscale(rgb)
    assert np.abs(ours.luma - theirs[0]).max() <= 2
    inner = np.arange(64) % 8 == 4
    for mine, their in zip((ours.blue, ours.red), theirs[1:], strict=True):
        assert np.abs(mine - their)[:, inner].max() <= 3


@pytest.mark.parametrize(
    ("colour", "expected"),
    [
        ((255, 255, 255), (940, 512, 512)),
        ((0, 0, 0), (64, 512, 512)),
        ((255, 0, 0), (250, 409, 960)),
        ((0, 255, 0), (691, 167, 105)),
        ((0, 0, 255), (127, 960, 471)),
    ],
)
def test_the_primaries_are_those_of_bt_709(colour: tuple[int, ...], expected: tuple[int, ...]) -> None:
    """ITU-R BT.709-6, 3.2 to 3.5 (from memory), calculated from its formulas at 10 bits."""
    planes = converted(np.full((1, 2, 3), colour, np.uint8))
    assert (planes.luma[0, 0], planes.blue[0, 0], planes.red[0, 0]) == expected


def test_greys_have_no_chroma_and_all_tones_their_own_luma() -> None:
    greys = np.repeat(np.arange(256, dtype=np.uint8), 2).reshape(1, 512, 1).repeat(3, 2)
    planes = converted(np.ascontiguousarray(greys))
    assert len(np.unique(planes.luma)) == 256
    flat = planes.blue[0, 1:-1], planes.red[0, 1:-1]
    assert all((chroma == 512).all() for chroma in flat)


def test_chroma_sits_on_the_even_pixels() -> None:
    """A red line one pixel wide: three quarters of its colour less than on its own pixel, or a quarter."""
    rgb = np.zeros((1, 8, 3), np.uint8)
    rgb[0, 4, 0] = 255
    on = converted(rgb).red[0].astype(int) - 512
    assert on.tolist() == [0, 0, 224, 0]
    rgb[:] = 0
    rgb[0, 3, 0] = 255
    assert (converted(rgb).red[0].astype(int) - 512).tolist() == [0, 112, 112, 0]


@given(st.lists(st.tuples(*[st.integers(0, 40)] * 4), max_size=5))
def test_what_changed_is_taken_over_as_if_all_was(corners: list[tuple[int, int, int, int]]) -> None:
    before, after = noise(40, 30), noise(40, 30)
    rects = [Rect(min(a, c), min(b, d, 30), max(a, c), min(max(b, d), 30)) for a, b, c, d in corners]
    for r in rects:
        after[r.y0 : r.y1, r.x0 : r.x1] ^= 255
    planes, whole = converted(before), converted(after)
    planes.update(after, rects)
    assert np.array_equal(planes.luma, whole.luma)
    assert np.array_equal(planes.blue, whole.blue)
    assert np.array_equal(planes.red, whole.red)


def test_odd_widths_are_refused() -> None:
    with pytest.raises(ValueError, match="even width"):
        DeepPlanes(3, 2)
