"""Mouths set by hand."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from splitpin.voice.mouth import SHAPES
from splitpin.voice.overrule import Overrule, overruled
from splitpin.voice.read import read, track_of
from splitpin.voice.settings import ReadingSettings

VOICE = np.sin(np.arange(96_000) * 0.02).astype(np.float32) * np.repeat([0, 1, 0, 1], 24_000)
TRACK = track_of(VOICE.astype(np.float32))

rates = st.sampled_from([Fraction(12), Fraction(24), Fraction(24_000, 1001), Fraction(25), Fraction(30)])
settings_ = st.builds(
    ReadingSettings,
    speech=st.floats(0, 1),
    open=st.floats(0, 1),
    closure=st.floats(0, 1),
    round=st.floats(0, 1),
    shut_frames=st.integers(1, 6),
    lead_frames=st.integers(-3, 3),
)


@given(
    rate=rates,
    on=st.integers(1, 4),
    first=st.integers(0, 8),
    count=st.integers(1, 3),
    shape=st.sampled_from(SHAPES),
    opening=st.floats(0, 1),
    one=settings_,
    other=settings_,
)
def test_exposures_set_by_hand_stay_as_they_are_when_the_voice_is_read_with_other_settings(
    rate: Fraction,
    on: int,
    first: int,
    count: int,
    shape: str,
    opening: float,
    one: ReadingSettings,
    other: ReadingSettings,
) -> None:
    at, long = first * on / rate, count * on / rate
    hand = Overrule.model_validate(
        {"at": round(float(at), 6), "seconds": round(float(long), 6), "shape": shape, "opening": opening}
    )
    frames = range(first * on, (first + count) * on, on)
    for settings in (one, other):
        plain = read(TRACK, rate, on, settings)
        own = {mouth.frame: mouth for mouth in plain.exposures()}
        for mouth in overruled(plain, [hand]).exposures():
            if mouth.frame in frames:
                assert (mouth.shape, mouth.opening) == (shape, opening)
            else:
                assert mouth == own[mouth.frame]


def test_a_mouth_set_by_hand_lies_on_the_exposure_nearest_to_it_when_the_voice_begins_between_frames() -> (
    None
):
    hand = Overrule(at=0.5, seconds=round(2 / 24, 6), shape="open", opening=0.123)
    start = Fraction(3, 4)
    openings = {
        m.frame: m.opening
        for m in overruled(read(TRACK, Fraction(24), 2, start=start), [hand], start).exposures()
    }
    assert [frame for frame, opening in openings.items() if opening == 0.123] == [12]


def test_of_two_mouths_set_by_hand_the_later_in_the_document_shows() -> None:
    hands = [Overrule(at=0.0, seconds=1.0, shape="round"), Overrule(at=0.5, seconds=0.1, shape="small")]
    mouths = overruled(read(TRACK, Fraction(24), 2), hands).exposures()
    assert [m.shape for m in mouths[:12]] == ["round"] * 6 + ["small"] + ["round"] * 5


def test_a_mouth_of_which_nobody_says_how_far_it_is_open_is_open_as_usual_for_its_shape() -> None:
    assert [Overrule(at=0, seconds=1, shape=shape).opened for shape in SHAPES] == [0.0, 0.3, 0.8, 0.5]
