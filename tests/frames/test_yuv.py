"""Planes for video, against another converter."""

from __future__ import annotations

import av
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from splitpin.frames.rect import Rect
from splitpin.frames.yuv import Planes


def noise(width: int, height: int, block: int = 1) -> NDArray[np.uint8]:
    small = np.random.default_rng(5).integers(0, 256, (height // block, width // block, 3), np.uint8)
    return np.ascontiguousarray(small.repeat(block, 0).repeat(block, 1))


def converted(rgb: NDArray[np.uint8]) -> Planes:
    planes = Planes(rgb.shape[1], rgb.shape[0])
    planes.update(rgb)
    return planes


def by_swscale(rgb: NDArray[np.uint8]) -> list[NDArray[np.int64]]:
    frame = av.VideoFrame.from_ndarray(rgb, format="rgb24").reformat(
        format="yuv420p", dst_colorspace="ITU709", src_color_range="JPEG", dst_color_range="MPEG"
    )
    return [
        np.frombuffer(bytes(p), np.uint8).reshape(p.height, p.line_size)[:, : p.width].astype(np.int64)
        for p in frame.planes
    ]


def test_luma_is_within_a_step_of_swscale() -> None:
    rgb = noise(64, 48)
    assert np.abs(converted(rgb).luma - by_swscale(rgb)[0]).max() <= 1


def test_chroma_is_within_two_steps_of_swscale() -> None:
    """On squares of 16 pixels, away from their edges: how chroma is placed differs, what it is does not."""
    rgb = noise(128, 96, 16)
    ours = converted(rgb)
    inner = np.zeros((48, 64), bool)
    for y in range(3, 48, 8):
        for x in range(3, 64, 8):
            inner[y : y + 2, x : x + 2] = True
    for mine, theirs in zip((ours.blue, ours.red), by_swscale(rgb)[1:], strict=True):
        assert np.abs(mine - theirs)[inner].max() <= 2


@pytest.mark.parametrize(
    ("colour", "expected"),
    [
        ((255, 255, 255), (235, 128, 128)),
        ((0, 0, 0), (16, 128, 128)),
        ((255, 0, 0), (63, 102, 240)),
        ((0, 255, 0), (173, 42, 26)),
        ((0, 0, 255), (32, 240, 118)),
    ],
)
def test_the_primaries_are_those_of_bt_709(colour: tuple[int, ...], expected: tuple[int, ...]) -> None:
    """ITU-R BT.709-6, 3.2 to 3.4 (from memory), calculated from its formulas."""
    planes = converted(np.full((2, 2, 3), colour, np.uint8))
    assert (planes.luma[0, 0], planes.blue[0, 0], planes.red[0, 0]) == expected


def test_greys_have_no_chroma() -> None:
    greys = np.repeat(np.arange(256, dtype=np.uint8), 4).reshape(2, 512).repeat(2, 0)[..., None].repeat(3, 2)
    planes = converted(np.ascontiguousarray(greys))
    assert (np.unique(planes.blue).tolist(), np.unique(planes.red).tolist()) == ([128], [128])


@given(st.lists(st.tuples(*[st.integers(0, 40)] * 4), max_size=5))
def test_only_the_given_rectangles_are_taken_over(corners: list[tuple[int, int, int, int]]) -> None:
    rgb = noise(40, 30)
    rects = [Rect(min(a, c), min(b, d, 30), max(a, c), min(max(b, d), 30)) for a, b, c, d in corners]
    planes, whole = Planes(40, 30), converted(rgb)
    planes.update(rgb, rects)
    wanted = np.zeros((30, 40), bool)
    for r in rects:
        wanted[r.y0 : r.y1, r.x0 : r.x1] = True
    assert (planes.luma == whole.luma)[wanted].all()
    coarse = wanted.reshape(15, 2, 20, 2).any(axis=(1, 3))
    assert (planes.blue == whole.blue)[coarse].all()
    assert (planes.red == whole.red)[coarse].all()
    assert (planes.luma == 16)[~coarse.repeat(2, 0).repeat(2, 1)].all()


def test_odd_sides_are_refused() -> None:
    with pytest.raises(ValueError, match="even sides"):
        Planes(3, 2)
