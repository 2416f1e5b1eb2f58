"""Loops: which pictures, for how long, and the best that fits a size."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.film.loop import ENOUGH, WIDTHS, picks, search
from splitpin.film.segments import Exposure, cut
from splitpin.measure.rate import NAMED, parse_rate
from splitpin.measure.table import View
from splitpin.sheet.sheet import Row

held = st.lists(st.integers(1, 60), min_size=1, max_size=60)
rates = st.sampled_from(NAMED).map(parse_rate)
forms = st.sampled_from([(100, 2), (1000, 20)])
most = st.sampled_from([None, 12, 10, 8])


@st.composite
def spans(draw: st.DrawFn) -> tuple[list[int], int, int]:
    frames = draw(held)
    start = draw(st.integers(0, sum(frames) - 1))
    return frames, start, draw(st.integers(start + 1, sum(frames)))


@given(spans(), rates, forms, most)
def test_a_loop_is_as_long_as_its_span_and_no_picture_is_too_short_for_players(
    span: tuple[list[int], int, int], rate: Fraction, form: tuple[int, int], most: int | None
) -> None:
    frames, start, end = span
    parts, least = form
    rows = [Row(sum(frames[:i]), n, (), View(), "a") for i, n in enumerate(frames)]
    segments = cut("scene", 0, "#ffffff", map(Exposure, rows), rate)
    plan = picks(segments, start, end, rate, most, parts, least)
    length = Fraction(end - start) / rate * parts
    total = sum(pick.delay for pick in plan)
    assert abs(max(total, least) - max(length, Fraction(least))) <= Fraction(1, 2)
    assert all(pick.delay >= least for pick in plan)
    # in the film's order, each picture once, the first of the span first
    assert all(a[:2] < b[:2] for a, b in pairwise(plan))
    shown = [segments[pick.segment].exposures[pick.exposure].row for pick in plan]
    assert shown[0].frame <= start < shown[0].frame + shown[0].frames
    assert all(row.frame < end for row in shown)
    if most is not None:
        assert len(plan) <= length / parts * most + 1


@given(
    st.lists(st.sampled_from(WIDTHS), min_size=1, unique=True),
    st.integers(1, 4),
    st.integers(1, 2_000_000),
    st.integers(1, 9),
)
def test_the_search_ends_with_the_widest_that_fits_of_the_first_step_that_is_wide_enough(
    some: list[int], steps: int, most: int, dear: int
) -> None:
    widths = sorted(some, reverse=True)

    def size(width: int, step: int) -> int:
        return width * width * dear // (step + 1)

    made: list[tuple[int, int]] = []

    def make(width: int, step: int) -> bytes:
        made.append((width, step))
        return bytes(size(width, step))

    chosen = search(widths, steps, most, make)
    fitting = [(w, s) for s in range(steps) for w in widths if size(w, s) <= most]
    assert len(made) == len(set(made)), "nothing is made twice"
    assert len(chosen.data) == size(chosen.width, chosen.step)
    assert chosen.fits == bool(fitting)
    if not fitting:
        assert len(chosen.data) == min(size(w, s) for w in widths for s in range(steps))
        return
    assert len(chosen.data) <= most
    wide = [(w, s) for w, s in fitting if w >= min(ENOUGH, widths[0])]
    if wide:
        first = min(s for _, s in wide)
        assert (chosen.width, chosen.step) == (max(w for w, s in wide if s == first), first)
    else:
        assert chosen.width == max(w for w, _ in fitting)


@given(
    st.sampled_from(WIDTHS[:8]),
    st.floats(1.2, 2.2),
    st.floats(0.3, 0.9),
    st.integers(4, 8),
    st.integers(0, 9),
)
def test_few_loops_are_made_to_find_it(
    widest: int, power: float, less: float, digits: int, rough: int
) -> None:
    """Sizes as they come out: a power of the width, a part of that for each step, and some roughness."""
    widths = [width for width in WIDTHS if width <= widest]
    made: list[tuple[int, int]] = []

    def make(width: int, step: int) -> bytes:
        made.append((width, step))
        return bytes(int(8 * width**power * less**step * (1 + 0.02 * ((width // 40 + rough) % 3))))

    search(widths, 4, 10**digits // 30, make)
    # At its widest, once for each step, and three for the width: halving took up to 16.
    assert len(made) <= 1 + 4 + 3


def test_a_search_among_nothing_says_so() -> None:
    with pytest.raises(ValueError, match="no widths"):
        search((), 1, 1, lambda _w, _s: b"")
