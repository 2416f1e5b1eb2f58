"""Burnt captions lie where letters are safe, and what is under them comes back."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from splitpin.device.stills import card_font
from splitpin.film.burn import burn
from splitpin.film.roll import Held
from splitpin.frames.caption import plate
from splitpin.frames.rect import Rect
from splitpin.measure.table import Stage

STAGE = Stage(160, 90, 400.0)


def rolled(lengths: list[int], seed: int) -> Iterator[Held]:
    """One canvas, changed a little for each exposure, as it is drawn on."""
    rng = np.random.default_rng(seed)
    rgb = rng.integers(0, 256, (90, 160, 3), np.uint8)
    changed = (Rect(0, 0, 160, 90),)
    for frames in lengths:
        yield Held(rgb, changed, frames)
        x, y = int(rng.integers(0, 140)), int(rng.integers(0, 80))
        rgb[y : y + 10, x : x + 20] = rng.integers(0, 256, 3, np.uint8)
        changed = (Rect(x, y, x + 20, y + 10),)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.integers(1, 6), min_size=1, max_size=6),
    st.lists(st.integers(0, 36), max_size=6),
    st.integers(0, 9),
)
def test_only_what_is_told_to_change_changes_and_the_picture_is_the_plain_one_beside_the_letters(
    lengths: list[int], times: list[int], seed: int
) -> None:
    edges = sorted(set(times))
    burnt = tuple((a, b, (f"line {a}",)) for a, b in zip(edges[::2], edges[1::2], strict=False))
    plain = [held.rgb.copy() for held in rolled(lengths, seed) for _ in range(held.frames)]
    screen = np.zeros((90, 160, 3), np.uint8)
    at = 0
    for held in burn(rolled(lengths, seed), burnt, STAGE, card_font()):
        for x0, y0, x1, y1 in held.changed:
            screen[y0:y1, x0:x1] = held.rgb[y0:y1, x0:x1]
        assert (screen == held.rgb).all(), "what is not told as changed is as it was"
        now = [lines for a, b, lines in burnt if a <= at < b]
        assert [lines for a, b, lines in burnt if a <= at + held.frames - 1 < b] == now
        outside = np.ones((90, 160), bool)
        for lines in now:
            x0, y0, x1, y1 = plate(lines, STAGE, card_font()).rect
            outside[y0:y1, x0:x1] = False
        assert (screen[outside] == plain[at][outside]).all()
        assert bool((screen != plain[at]).any()) == bool(now)
        at += held.frames
    assert at == len(plain)


@given(st.integers(32, 2000), st.integers(32, 2000), st.integers(1, 42))
def test_letters_stay_in_nine_tenths_of_the_picture(width: int, height: int, letters: int) -> None:
    stage = Stage(width // 2 * 2, height // 2 * 2, 400.0)
    if stage.width < 160:  # below that no type is small enough
        return
    shown = plate(("n" * letters,), stage, card_font())
    ink = np.nonzero(shown.ink.any(axis=0))[0] + shown.rect.x0
    rows = np.nonzero(shown.ink.any(axis=1))[0] + shown.rect.y0
    assert ink[0] >= 0.05 * stage.width - 1
    assert ink[-1] <= 0.95 * stage.width + 1
    assert rows[-1] <= 0.95 * stage.height + 1
