"""Lines that are spoken: mouths that start with their sounds, moves that hang on events, dialogue in rows."""

from __future__ import annotations

import csv
from fractions import Fraction
from io import StringIO
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.sheet.test_expose import FIGURES, STAGE, scene, slide

from splitpin.measure.rate import parse_rate
from splitpin.sheet.csv import read_csv, write_csv
from splitpin.sheet.expose import Exposed, expose
from splitpin.sheet.words import told
from splitpin.voice.align import Word
from splitpin.voice.speech import Speech
from splitpin.voice.track import Track


def heard(*parts: tuple[float, float]) -> Track:
    """A track of parts: for so many seconds a voice that opens the mouth so far, or silence."""
    opening = np.concatenate([np.full(round(100 * seconds), far) for seconds, far in parts])
    none, speech = np.zeros(len(opening)), (opening > 0).astype(float)
    level = np.where(opening > 0, -20.0, -120.0)
    return Track(480 * len(opening), level, speech, speech, none, opening, none, none, none, none[:, None])


VOICE = Speech(heard((0.4, 0), (0.6, 0.9), (0.2, 0)), (Word("moo", 0.4, 0.7), Word("cow", 0.7, 1.0)))
"""0.4 s of silence, 0.6 s of a voice, 0.2 s of silence."""
TALK = {"move": "speak", "who": "cat", "sound": "moo.wav", "piece": "head"}
CUE = {"sound": "moo.wav", "kind": "voice"}
LONG = {"panels": [{"name": "one", "seconds": 2}, {"name": "two", "seconds": 3, "speaker": "cow"}]}


def said(rate: str = "24", on: int = 2, voice: Speech = VOICE, **keys: Any) -> Exposed:
    return expose("t", scene(**(LONG | keys)), FIGURES, STAGE, parse_rate(rate), on, {"moo.wav": voice})


def open_on(found: Exposed) -> list[int]:
    """The frames on which the mouth is open."""
    return [
        f for row in found.sheet.rows if row.poses["cat"]["head.shows"] == "open"
        for f in range(row.frame, row.frame + row.frames)
    ]  # fmt: skip


@given(
    rate=st.sampled_from(["12", "24000/1001", "24", "25", "30"]),
    on=st.integers(1, 3),
    start=st.integers(0, 250).map(lambda n: n / 100),
)
def test_the_mouth_opens_on_the_exposure_in_which_its_sound_begins_or_when_little_of_it_is_left_on_the_next(
    rate: str, on: int, start: float
) -> None:
    found = said(rate, on, moves=[TALK], cues=[CUE | {"start": start}])
    assert found.faults == ()
    onset = (Fraction(start).limit_denominator(100) + Fraction(4, 10)) * parse_rate(rate)
    opened, shut = open_on(found)[0], open_on(found)[-1] + 1
    assert opened - on <= onset < opened + on
    assert abs(shut - onset - Fraction(6, 10) * parse_rate(rate)) < 2 * on


def test_a_mouth_starts_with_its_cue_on_an_exposure_and_is_over_when_the_sound_is() -> None:
    events = {
        e.name: e.frame for e in said(moves=[TALK], cues=[CUE | {"panel": "two", "start": 0.5}]).sheet.events
    }
    assert events["start"] == 60
    assert events["end"] == 60 + 30  # 1.2 s are 15 exposures, and one more with the mouth shut


def test_a_mouth_that_says_when_it_starts_goes_by_no_cue() -> None:
    (one, *_) = said(moves=[TALK | {"start": 1.0}], cues=[CUE]).sheet.events
    assert one.frame == 24


def test_of_several_cues_the_one_in_its_panel_is_spoken() -> None:
    cues = [CUE, CUE | {"panel": "two"}]
    found = said(moves=[TALK, TALK | {"name": "again", "panel": "two"}], cues=cues)
    assert [(e.move, e.frame) for e in found.sheet.events if e.name == "start"] == [
        ("speak", 0),
        ("again", 48),
    ]


def test_what_of_the_sound_is_skipped_is_not_mouthed() -> None:
    found = said(moves=[TALK], cues=[CUE | {"start": 1.0, "skip": 0.7, "seconds": 0.2}])
    assert open_on(found) == list(range(24, 30))  # frame 28 is heard in part
    assert [s.word for row in found.sheet.rows for s in row.says if s.word] == ["cow", "–", "–"]


def test_a_mouth_follows_a_cue_that_hangs_on_an_event_of_another_move() -> None:
    found = said(moves=[TALK, slide(name="there", positions=12)], cues=[CUE | {"event": "there.end"}])
    assert found.faults == ()
    assert [e.frame for e in found.sheet.events if (e.move, e.name) == ("speak", "start")] == [22]


def test_a_move_may_start_with_an_event_of_a_mouth() -> None:
    bend = {"move": "bend", "who": "cat", "piece": "head", "to": 5, "after": "speak.open", "positions": 2}
    found = said(moves=[bend, TALK, slide(after="bend", positions=1)], cues=[CUE | {"start": 0.1}])
    assert found.faults == ()
    starts = {e.move: e.frame for e in found.sheet.events if e.name == "start"}
    assert starts["bend"] == open_on(found)[0]
    assert starts["slide"] == starts["bend"] + 4


@pytest.mark.parametrize(
    ("moves", "cue", "path", "found"),
    [
        ([TALK], {"event": "speak.open"}, ("cues", 0, "event"), "waits for this sound"),
        ([TALK, slide(after="speak")], {"event": "slide.end"}, ("cues", 0, "event"), "waits for this sound"),
        ([TALK, slide(after="speak.opne")], {}, ("moves", 1, "after"), "never happens"),
        ([slide(after="slide.end")], {}, ("moves", 0, "after"), "wait for one another"),
        ([slide(name="a", after="b.end"), slide(name="b", after="a")], {}, ("moves", 0, "after"), "wait for"),
        ([slide(after="nobody.end")], {}, ("moves", 0, "after"), "there is no move"),
        ([TALK], {"event": "nobody.end"}, ("cues", 0, "event"), "never happens"),
    ],
    ids=str,
)
def test_what_waits_for_itself_or_for_nothing_is_told_once(
    moves: list[dict[str, Any]], cue: dict[str, Any], path: tuple[str | int, ...], found: str
) -> None:
    (fault,) = said(moves=moves, cues=[CUE | cue]).faults
    assert fault.path == path
    assert found in fault.found


def test_rows_tell_the_words_and_the_mouth_that_says_them() -> None:
    found = said(moves=[TALK], cues=[CUE])
    words = [s.word for row in found.sheet.rows for s in row.says]
    assert words.index("moo") == 4  # 0.4 s are frame 9.6
    assert [w for w in words if w not in ("", "–")] == ["moo", "cow"]
    (one,) = next(row for row in found.sheet.rows if row.frame == 12).says
    assert (one.who, one.word, one.shape) == ("cat", "–", "open")
    assert str(one).startswith("cat: – [open ")
    assert any("cat: moo [" in line for line in told(found.sheet, scene(**LONG)))


def test_a_voice_without_a_mouth_is_told_in_words_by_the_speaker_of_its_panel() -> None:
    found = said(cues=[CUE | {"panel": "two"}])
    assert {(s.who, s.word, s.shape) for row in found.sheet.rows for s in row.says} == {
        ("cow", "moo", ""), ("cow", "cow", ""), ("cow", "–", ""),
    }  # fmt: skip


def test_the_table_has_a_column_of_what_is_said_which_nobody_needs_to_bring_back() -> None:
    sheet = said(moves=[TALK], cues=[CUE]).sheet
    table = write_csv(sheet, FIGURES)
    cells = list(csv.reader(StringIO(table)))
    assert cells[0][:4] == ["frame", "frames", "panel", "says"]
    assert any(line[3].startswith("cat: moo [") for line in cells)
    assert read_csv(table, sheet, FIGURES) == ((), (), 0)
    old = "\n".join(",".join((*line[:3], *line[4:])) for line in cells)
    assert read_csv(old, sheet, FIGURES) == ((), (), 0)
    without = said(moves=[slide()]).sheet
    assert "says" not in write_csv(without, FIGURES)


def test_a_sound_that_is_not_known_leaves_the_mouth_shut_to_the_end_of_its_panel() -> None:
    found = expose("t", scene(**LONG, moves=[TALK], cues=[CUE]), FIGURES, STAGE, Fraction(24), 2)
    assert found.faults == ()
    assert open_on(found) == []
    assert [e.frame for e in found.sheet.events if e.name == "end"] == [46]
