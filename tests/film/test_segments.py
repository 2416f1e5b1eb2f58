"""A scene cut into segments, and the names they are kept by."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from splitpin.character.place import Placed
from splitpin.film.segments import LONGEST, SHORTEST, Exposure, Segment, cut, key
from splitpin.frames.look import PaperLook
from splitpin.measure.affine import move
from splitpin.measure.rate import NAMED, parse_rate
from splitpin.measure.table import Stage, View
from splitpin.sheet.sheet import Row

STAGE = Stage(64, 36, 128.0)
PRINTS = {"ball": "1", "cat": "2"}


def piece(x: float = 0.0, cutout: str = "ball") -> Placed:
    return Placed("who", "piece", cutout, move(x, 0), (x, 0), 0.0, 0.0)


def row(frame: int = 0, frames: int = 2, panel: str = "a", *placed: Placed) -> Row:
    return Row(frame, frames, placed, View(), panel)


def named(*exposures: Exposure, paper: str = "#ffffff", first: int = 0, **other: object) -> str:
    known: dict[str, object] = {"stage": STAGE, "look": PaperLook(), "coding": "h264"} | other
    segment = Segment("scene", first, paper, exposures)
    return key(segment, cutouts=PRINTS, files={"a.png": "3", "b.png": "4"}, **known)  # type: ignore[arg-type]


@given(
    held=st.lists(st.tuples(st.integers(1, 240), st.sampled_from("abc")), min_size=1, max_size=80),
    rate=st.sampled_from(NAMED).map(parse_rate),
    first=st.integers(0, 1000),
)
def test_segments_hold_every_exposure_once_in_order_and_follow_each_other(
    held: list[tuple[int, str]], rate: Fraction, first: int
) -> None:
    rows: list[Row] = []
    for frames, panel in held:
        rows.append(row(sum(r.frames for r in rows), frames, panel))
    segments = cut("scene", first, "#ffffff", map(Exposure, rows), rate)
    assert [e.row for s in segments for e in s.exposures] == rows
    assert segments[0].first == first
    assert all(b.first == a.first + a.frames for a, b in pairwise(segments))
    for segment in segments:
        assert segment.frames <= LONGEST * rate or len(segment.exposures) == 1
    for segment in segments:
        for a, b in pairwise(segment.exposures):
            so_far = sum(e.row.frames for e in segment.exposures if e.row.frame < b.row.frame)
            assert a.row.panel == b.row.panel or so_far < SHORTEST * rate


def test_a_change_in_one_panel_leaves_the_segments_of_the_others() -> None:
    def scene(x: float) -> list[str]:
        rows = [row(i * 2, 2, "abc"[i // 20], piece(x if i // 20 == 1 else 0.0)) for i in range(60)]
        return [
            named(*segment.exposures) for segment in cut("s", 0, "#ffffff", map(Exposure, rows), Fraction(24))
        ]

    before, after = scene(1.0), scene(2.0)
    assert [a == b for a, b in zip(before, after, strict=True)] == [True, False, True]


def test_a_name_tells_all_that_a_picture_depends_on() -> None:
    drawn = Exposure(row(0, 2, "a", piece()))
    names = [
        named(drawn),
        named(Exposure(row(0, 2, "a", piece(1e-9)))),
        named(Exposure(row(0, 3, "a", piece()))),
        named(Exposure(row(0, 2, "a", piece(cutout="cat")))),
        named(Exposure(row(0, 2, "a", piece(), piece()))),
        named(Exposure(row(0, 2, "a", piece())._replace(view=View(1.0)))),
        named(drawn, paper="#fffffe"),
        named(drawn, drawn),
        named(drawn, look=PaperLook(shadows=True)),
        named(drawn, stage=Stage(64, 38, 128.0)),
        named(drawn, stage=Stage(64, 36, 129.0)),
        named(drawn, coding="png"),
        named(Exposure(row(), "shot", "a.png")),
        named(Exposure(row(), "shot", "b.png")),
        named(Exposure(row(), "board", "a.png")),
        named(Exposure(row(), "card", words=("a",))),
        named(Exposure(row(), "card", words=("a", "b"))),
    ]
    assert len(set(names)) == len(names)


def test_a_name_does_not_tell_where_in_the_film_a_segment_stands() -> None:
    here = named(Exposure(row(0, 2, "a", piece())))
    assert here == named(Exposure(row(100, 2, "b", piece())), first=77)
