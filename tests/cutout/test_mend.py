"""Mending: only the hole changes, and it becomes what the picture is made of."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from skimage import data

from splitpin.cutout.levels import levels_of
from splitpin.cutout.mend import _parts, mend
from splitpin.cutout.mistake import CutError

Rgb = NDArray[np.uint8]
Mask = NDArray[np.bool_]


def photograph(name: str) -> Rgb:
    """One of those that scikit-image carries in its wheel."""
    return np.asarray(getattr(data, name)())


def grey(picture: NDArray[np.uint8]) -> Rgb:
    return np.ascontiguousarray(np.dstack([picture] * 3))


def block(shape: tuple[int, ...], y: int, x: int, height: int, width: int) -> Mask:
    hole = np.zeros(shape[:2], bool)
    hole[y : y + height, x : x + width] = True
    return hole


def courses(height: int, width: int) -> Rgb:
    """Level courses of bricks 24 × 10 pixels, half a brick off in every other, with grain."""
    y, x = np.mgrid[:height, :width]
    row = y // 10
    mortar = (y % 10 < 2) | ((x + 12 * (row % 2)) % 24 < 2)
    grain = np.random.default_rng(3).integers(-6, 7, (height, width))
    return grey((np.where(mortar, 200, 90) + grain).astype(np.uint8))


def roughness(values: Rgb, hole: Mask) -> float:
    across = np.abs(np.diff(values[..., 1].astype(float), axis=1))[hole[:, 1:] & hole[:, :-1]]
    return float(across.mean())


@settings(max_examples=25, deadline=None)
@given(
    height=st.integers(1, 40),
    width=st.integers(1, 40),
    seed=st.integers(0, 1000),
    share=st.floats(0.0, 0.95),
    lumps=st.booleans(),
)
def test_nothing_outside_any_hole_changes_by_a_bit_and_a_seed_always_fills_alike(
    height: int, width: int, seed: int, share: float, lumps: bool
) -> None:
    rng = np.random.default_rng(seed)
    rgb = rng.integers(0, 256, (height, width, 3), np.uint8)
    hole = rng.random((height, width)) < share
    if lumps:
        hole = hole[:: max(1, height // 3), :: max(1, width // 3)]
        hole = hole.repeat(height, axis=0).repeat(width, axis=1)[:height, :width]
    hole[rng.integers(height), rng.integers(width)] = False
    before = rgb.copy()
    mended = mend(rgb, hole, seed=seed)
    assert np.array_equal(rgb, before)
    assert np.array_equal(mended[~hole], rgb[~hole])
    assert np.array_equal(mended, mend(rgb, hole, seed=seed))


def test_a_picture_without_a_hole_comes_back_as_it_is_and_as_a_copy() -> None:
    rgb = photograph("chelsea")[:40, :50]
    mended = mend(rgb, np.zeros((40, 50), bool))
    assert np.array_equal(mended, rgb)
    assert not np.shares_memory(mended, rgb)


def test_a_hole_of_another_size_is_refused() -> None:
    with pytest.raises(CutError, match="30 × 20 pixels; expected 50 × 40 pixels"):
        mend(photograph("chelsea")[:40, :50], np.ones((20, 30), bool))


@pytest.mark.parametrize("size", [1, 9])
def test_a_hole_that_leaves_nothing_is_refused(size: int) -> None:
    with pytest.raises(CutError, match="some picture left over"):
        mend(np.zeros((size, size, 3), np.uint8), np.ones((size, size), bool))


@pytest.mark.parametrize("hole", [block((60, 80), 20, 20, 20, 30), block((60, 80), 0, 0, 60, 12)])
def test_one_colour_stays_one_colour(hole: Mask) -> None:
    rgb = np.full((60, 80, 3), (12, 200, 99), np.uint8)
    rgb[hole] = 255
    assert (mend(rgb, hole) == (12, 200, 99)).all()


def test_courses_of_bricks_go_on_straight_through_the_hole() -> None:
    rgb = courses(160, 240)
    hole = block(rgb.shape, 50, 80, 60, 70)
    spoilt = rgb.copy()
    spoilt[hole] = (255, 0, 255)
    mended = mend(spoilt, hole)
    # Every pixel of mortar is again light, every pixel of brick dark.
    assert np.mean((mended[hole] > 145) == (rgb[hole] > 145)) > 0.99


def test_gravel_does_not_go_flat() -> None:
    rgb = grey(photograph("gravel")[100:300, 100:300])
    hole = block(rgb.shape, 70, 60, 60, 70)
    rough = roughness(mend(rgb, hole), hole)
    assert 0.85 < rough / roughness(rgb, hole) < 1.15


def test_tone_that_changes_across_the_picture_is_met_at_every_rim() -> None:
    slope = np.linspace(40, 210, 200)[None] + np.zeros((140, 1))
    grain = np.random.default_rng(5).normal(0, 4, slope.shape)
    rgb = grey(np.clip(slope + grain, 0, 255).astype(np.uint8))
    hole = block(rgb.shape, 50, 70, 40, 60)
    mended = mend(rgb, hole)[..., 1].astype(float)
    for x in range(70, 130, 10):
        assert abs(mended[50:90, x : x + 10].mean() - slope[0, x : x + 10].mean()) < 6
    assert 0.75 < roughness(mend(rgb, hole), hole) / roughness(rgb, hole) < 1.25


def test_a_scratch_on_a_photograph_disappears() -> None:
    rgb = photograph("coffee")[100:260, 100:400]
    y, x = np.mgrid[:160, :300]
    hole = np.abs(y - 40 - x // 4) < 2
    scratched = rgb.copy()
    scratched[hole] = 255
    mended = mend(scratched, hole)
    off = np.abs(mended[hole].astype(float) - rgb[hole]).mean()
    assert off < 10
    assert off < np.abs(scratched[hole].astype(float) - rgb[hole]).mean() / 8


def test_another_seed_may_fill_otherwise_but_never_spoils() -> None:
    rgb = grey(photograph("grass")[:160, :160])
    hole = block(rgb.shape, 60, 60, 40, 40)
    a, b = mend(rgb, hole, seed=1), mend(rgb, hole, seed=2)
    assert not np.array_equal(a, b)
    assert abs(roughness(a, hole) - roughness(b, hole)) < 0.25 * roughness(rgb, hole)


def test_the_filling_does_not_know_what_was_under_the_hole() -> None:
    rgb = photograph("chelsea")[:120, :160]
    hole = block(rgb.shape, 40, 50, 30, 40)
    other = rgb.copy()
    other[hole] = np.random.default_rng(1).integers(0, 256, (int(hole.sum()), 3))
    assert np.array_equal(mend(rgb, hole), mend(other, hole))


def test_progress_goes_from_nothing_to_all() -> None:
    told: list[float] = []
    report: Callable[[float], None] = told.append
    rgb = photograph("chelsea")[:100, :400]
    mend(rgb, block(rgb.shape, 40, 20, 5, 5) | block(rgb.shape, 40, 300, 5, 5), progress=report)
    assert told == sorted(told)
    assert told[0] == 0
    assert told[-1] == 1


def test_the_number_of_threads_changes_nothing() -> None:
    script = (
        "import cv2, hashlib, sys, numpy as np; cv2.setNumThreads(int(sys.argv[1]))\n"
        "from skimage import data; from splitpin.cutout.mend import mend\n"
        "rgb = data.chelsea()[:200, :300]; hole = np.zeros((200, 300), bool); hole[60:130, 100:190] = True\n"
        "print(hashlib.sha256(mend(rgb, hole).tobytes()).hexdigest())"
    )
    marks = {
        subprocess.run([sys.executable, "-c", script, n], check=True, capture_output=True, text=True).stdout
        for n in ("1", "4")
    }
    assert len(marks) == 1


def test_a_scratch_is_looked_for_near_by_however_long_it_is() -> None:
    hole = np.zeros((1200, 900), bool)
    hole[np.arange(1200), np.arange(1200) * 3 // 4] = True
    [(window, part)] = list(_parts(hole))
    levels = levels_of(np.zeros((*part.shape, 3), np.uint8), part)
    assert part.shape == hole[window].shape
    assert len(levels) == 1  # nothing coarser is needed
    assert len(levels[0].targets) < 12 * hole.sum()


def test_the_window_around_a_speck_is_small() -> None:
    hole = np.zeros((1200, 900), bool)
    for y, x in ((100, 100), (600, 500), (1100, 880)):
        hole[y : y + 4, x : x + 4] = True
    assert all(part.size <= 80 * 80 for _, part in _parts(hole))
