"""Which moments stand for a film, and where their pictures lie on paper."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitpin.character.place import Placed
from splitpin.film.contact import HIGH, MARGIN, WIDE, Box, lay_out
from splitpin.film.moments import Each, Moment, moments, still
from splitpin.film.segments import Exposure, cut
from splitpin.measure.rate import NAMED
from splitpin.measure.table import View
from splitpin.sheet.sheet import Row, Sheet

rates = st.sampled_from(NAMED).map(Fraction)


@st.composite
def sheets(draw: st.DrawFn, rate: Fraction) -> list[Sheet]:
    made = []
    boards = st.lists(st.lists(st.integers(1, 80), min_size=1, max_size=3), min_size=1, max_size=4)
    for i, panels in enumerate(draw(boards)):
        named = tuple((f"p{k}", sum(panels[:k]), n) for k, n in enumerate(panels))
        made.append(Sheet(f"s{i}", rate, sum(panels), "#ffffff", (), (), (), named))
    return made


@given(st.data(), rates, st.sampled_from(["panel", "scene", "second"]))
def test_moments_cover_the_film_without_a_gap_and_each_shows_a_frame_of_its_own(
    data: st.DataObject, rate: Fraction, each: Each
) -> None:
    some = data.draw(sheets(rate))
    found = moments(some, each, rate)
    at = 0
    for moment in found:
        assert moment.start == at
        assert moment.start <= moment.shown < moment.start + moment.frames
        at += moment.frames
    assert at == sum(sheet.frames for sheet in some)
    if each != "second":
        assert len(found) == (len(some) if each == "scene" else sum(len(s.panels) for s in some))


def test_a_second_is_shown_by_its_first_frame() -> None:
    sheet = Sheet("a", Fraction(24), 60, "#ffffff", (), (), (), (("p", 0, 30), ("q", 30, 30)))
    found = moments([sheet], "second", Fraction(24))
    assert [(m.panel, m.shown, m.frames) for m in found] == [("p", 0, 24), ("p", 24, 24), ("q", 48, 12)]


@given(st.lists(st.integers(1, 9), min_size=1, max_size=40), st.data())
def test_a_still_is_what_is_seen_at_its_frame(holds: list[int], data: st.DataObject) -> None:
    shown = []
    for i, frames in enumerate(holds):
        placed = (Placed(str(i), "", "", None, (0.0, 0.0), 0.0, 0.0),)  # type: ignore[arg-type]
        shown.append(Exposure(Row(sum(holds[:i]), frames, placed, View(0, 0, 1, 0), "p")))
    segments = cut("a", 0, "#ffffff", shown, Fraction(12))
    frame = data.draw(st.integers(0, sum(holds) - 1))
    one = still(segments, frame)
    expected = next(i for i in range(len(holds)) if sum(holds[: i + 1]) > frame)
    assert one.frames == 1
    assert one.exposures[0].row.placed == shown[expected].row.placed
    with pytest.raises(ValueError, match="no frame"):
        still(segments, sum(holds))


def overlap(a: Box, b: Box) -> bool:
    return a.x < b.x + b.width and b.x < a.x + a.width and a.y < b.y + b.height and b.y < a.y + a.height


@settings(max_examples=50)
@given(st.integers(1, 60), st.floats(0.4, 3.0), st.integers(1, 12), st.booleans())
def test_every_picture_lies_once_within_the_margins_and_over_no_other(
    count: int, aspect: float, columns: int, pages: bool
) -> None:
    found = [Moment(f"{i}", "panel", 24 * i, 24, 24 * i) for i in range(count)]
    done = lay_out("Ours", found, Fraction(24), 24 * count, aspect, columns, pages=pages)
    assert [box.moment for page in done for box in page.boxes] == list(range(count))
    assert pages or len(done) == 1
    for page in done:
        assert page.height == pytest.approx(HIGH) or not pages
        for box in page.boxes:
            assert box.width / box.height == pytest.approx(aspect)
            assert box.x >= MARGIN - 1e-6
            assert box.x + box.width <= WIDE - MARGIN + 1e-6
            assert box.y + box.height <= page.height - MARGIN
        assert not any(overlap(a, b) for a, b in combinations(page.boxes, 2))
        assert all(0 < words.x <= WIDE and 0 < words.y < page.height for words in page.words)
