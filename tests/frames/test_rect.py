"""Rectangles of pixels."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from splitpin.frames.rect import Rect, merged

sides = st.tuples(st.integers(0, 40), st.integers(0, 40), st.integers(0, 12), st.integers(0, 12))
rects = sides.map(lambda s: Rect(s[0], s[1], s[0] + s[2], s[1] + s[3]))


def pixels(rect: Rect) -> set[tuple[int, int]]:
    return {(x, y) for x in range(rect.x0, rect.x1) for y in range(rect.y0, rect.y1)}


@given(st.lists(rects, max_size=8))
def test_merged_rectangles_cover_all_and_never_overlap(given_rects: list[Rect]) -> None:
    result = merged(given_rects)
    covered = [pixels(r) for r in result]
    assert sum(map(len, covered)) == len(set().union(*covered))
    assert set().union(*map(pixels, given_rects)) <= set().union(*covered)


@given(rects, rects)
def test_the_overlap_is_what_both_hold(a: Rect, b: Rect) -> None:
    assert pixels(a.overlap(b)) == pixels(a) & pixels(b)
    assert a.overlap(b).area == len(pixels(a) & pixels(b))


def test_rectangles_far_apart_stay_apart() -> None:
    apart = (Rect(0, 0, 10, 10), Rect(100, 100, 110, 110))
    assert merged(apart) == apart
