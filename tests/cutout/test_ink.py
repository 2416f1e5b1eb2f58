"""Blackened edges: their width on the table, and what they leave alone."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from tests.cutout.test_outline import alpha_of, circle

from splitpin.cutout.ink import ink
from splitpin.cutout.mistake import CutError
from splitpin.measure.light import luminance


def paper(radius: float) -> NDArray[np.uint8]:
    alpha = alpha_of([circle(radius, 100, 100)], 200, 200)
    return np.dstack([np.full((200, 200, 3), 255, np.uint8), alpha])


@given(st.floats(0.15, 3.0), st.sampled_from([0.0423, 0.0847, 0.16]), st.floats(60, 90))
@settings(max_examples=20, deadline=None)
def test_ink_is_as_wide_on_the_table_as_was_asked_for(width: float, mm: float, radius: float) -> None:
    if width > 0.5 * radius * mm or width < 1.5 * mm:
        return
    inked = ink(paper(radius), width, mm, (0, 0, 0), 1.0)
    light = luminance(inked[100, 100:, :3] / 255)
    along = (np.arange(100) + 0.5, light)
    # Half the light marks its width; measured along the row through the middle, near the pixel centres.
    half = float(np.interp(0.5, along[1][: int(radius)][::-1], along[0][: int(radius)][::-1]))
    found = (np.sqrt(radius**2 - 0.25) - half) * mm
    assert found == pytest.approx(width, abs=0.05)


@given(st.integers(0, 2**32 - 1), st.floats(0, 2))
@settings(max_examples=15, deadline=None)
def test_alpha_and_the_inside_stay_as_they_are(seed: int, width: float) -> None:
    rgba = np.random.default_rng(seed).integers(0, 256, (40, 50, 4), np.uint8)
    rgba[10:30, 10:40, 3] = 255
    before = rgba.copy()
    inked = ink(rgba, width, 0.1)
    assert (inked[..., 3] == before[..., 3]).all()
    assert (rgba == before).all()
    whole = paper(80)
    deep = ink(whole, 2.0, 0.1)
    ys, xs = np.indices((200, 200)) + 0.5
    inside = np.hypot(xs - 100, ys - 100) < 80 - 20 * 1.15 - 1
    assert (deep[inside] == whole[inside]).all()


def test_no_width_changes_nothing_and_more_width_never_brightens() -> None:
    rgba = paper(70)
    assert (ink(rgba, 0.0, 0.1) == rgba).all()
    narrow, wide = ink(rgba, 0.5, 0.1)[..., :3], ink(rgba, 1.0, 0.1)[..., :3]
    assert (wide <= narrow).all()


@pytest.mark.parametrize(("width", "mm"), [(-1.0, 0.1), (21.0, 0.1), (float("nan"), 0.1), (1.0, 0.0)])
def test_ink_of_no_sensible_width_is_refused(width: float, mm: float) -> None:
    with pytest.raises(CutError, match="mm"):
        ink(paper(50), width, mm)


@pytest.mark.parametrize("tone", [40, 128, 255])
def test_ink_is_near_black_whatever_the_paper(tone: int) -> None:
    rgba = paper(70)
    rgba[..., :3] = tone
    inked = ink(rgba, 1.0, 0.1)
    # A row from the middle to the edge: 2 to 6 pixels inside of it lies ink at its full strength.
    assert inked[100, 164:168, :3].max() < 45


@pytest.mark.parametrize("gap", [0, 1, 5])
def test_ink_is_the_same_however_tightly_a_piece_is_trimmed(gap: int) -> None:
    rgba = np.full((60, 100, 4), 255, np.uint8)
    rgba[40:, :30, 3] = 0
    wide = ink(np.pad(rgba, ((gap, gap), (gap, gap), (0, 0))), 1.0, 0.1, (0, 0, 0), 1.0)
    inked = wide[gap : gap + 60, gap : gap + 100]
    assert (inked == ink(np.pad(rgba, ((9, 9), (9, 9), (0, 0))), 1.0, 0.1, (0, 0, 0), 1.0)[9:69, 9:109]).all()
    for edge in (inked[0], inked[-1, 31:], inked[:40, 0], inked[:, -1]):
        assert edge[:, :3].max() == 0
    assert inked[30, 50, :3].min() == 255
