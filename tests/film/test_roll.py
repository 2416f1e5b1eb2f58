"""A segment rolled: each exposure drawn once, and held."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from splitpin.character.place import Placed
from splitpin.film.roll import roll
from splitpin.film.segments import Exposure, Segment
from splitpin.frames.canvas import Work, draw_row
from splitpin.frames.look import PaperLook
from splitpin.frames.pyramid import Pyramid
from splitpin.measure.affine import Affine, move
from splitpin.measure.table import Stage
from splitpin.sheet.sheet import Row

STAGE = Stage(32, 18, 32.0)
BALL = Pyramid.of(np.full((4, 4, 4), 255, np.uint8))
GROUND = Pyramid.of(np.full((18, 32, 4), (90, 120, 40, 255), np.uint8))
PICTURES = {"ball": BALL, "ground": GROUND}


def still(exposure: Exposure, paper: str) -> NDArray[np.uint8]:
    return np.full((18, 32, 3), len(exposure.file), np.uint8)


def exposure(frame: int, kind: str, x: float) -> Exposure:
    def lay(name: str, px: Affine) -> Placed:
        return Placed(name, "piece", name, px, (0, 0), 0.0, 0.0)

    ground = lay("ground", Affine(1, 0, 0, -1, -16, 9))
    ball = lay("ball", Affine(1, 0, 0, -1, 0, 0).then(move(x, 0)))
    held = Row(frame, 2, (ground, ball), STAGE.whole(), "a")
    return Exposure(held, "drawn") if kind == "drawn" else Exposure(held, "shot", kind)


kinds = st.tuples(st.sampled_from(["drawn", "drawn", "a", "ab"]), st.integers(-10, 10))


@settings(max_examples=60)
@given(shown=st.lists(kinds, min_size=1, max_size=12))
def test_what_is_held_is_what_each_exposure_shows_by_itself_and_changes_are_told(
    shown: list[tuple[str, int]],
) -> None:
    exposures = tuple(exposure(2 * i, kind, float(x)) for i, (kind, x) in enumerate(shown))
    seen = np.zeros((18, 32, 3), np.uint8)  # a picture kept up to date by nothing but the changes told
    segment = Segment("s", 0, "#ffffff", exposures)
    for one, held in zip(exposures, roll(segment, STAGE, PICTURES, PaperLook(), still, Work()), strict=True):
        for x0, y0, x1, y1 in held.changed:
            seen[y0:y1, x0:x1] = held.rgb[y0:y1, x0:x1]
        alone = draw_row(one.row, STAGE, PICTURES, PaperLook()) if one.kind == "drawn" else still(one, "")
        assert np.array_equal(seen, alone)
        assert held.frames == 2


def test_an_exposure_like_the_one_before_is_not_drawn_again() -> None:
    exposures = tuple(exposure(2 * i, "drawn", 3.0) for i in range(10))
    work = Work()
    segment = Segment("s", 0, "#ffffff", exposures)
    changes = [held.changed for held in roll(segment, STAGE, PICTURES, PaperLook(), still, work)]
    assert [bool(c) for c in changes] == [True] + [False] * 9
    assert (work.rows, work.reused) == (10, 9)


def test_a_still_held_over_exposures_is_read_once() -> None:
    read: list[str] = []

    def reading(one: Exposure, paper: str) -> NDArray[np.uint8]:
        read.append(one.file)
        return still(one, paper)

    names = ["a", "a", "ab", "ab", "a"]
    exposures = tuple(exposure(2 * i, name, 0.0) for i, name in enumerate(names))
    list(roll(Segment("s", 0, "#ffffff", exposures), STAGE, PICTURES, PaperLook(), reading, Work()))
    assert read == ["a", "ab", "a"]
