"""What comes before a film: how long, what, and what is heard of it."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.device.stills import card_font
from splitpin.film.opening import ORDER, Opens, leader, opening, slate_lines
from splitpin.frames.bars import BARS, bars
from splitpin.frames.cards import count, slate
from splitpin.measure.rate import NAMED, parse_rate, samples_of
from splitpin.measure.table import Stage
from splitpin.measure.timecode import before, frame_of, frames_in_label
from splitpin.sound.lineup import after, tones
from splitpin.sound.source import BLOCK

rates = st.sampled_from(NAMED).map(parse_rate)
STAGE = Stage(320, 180, 400.0)


@given(st.lists(st.sampled_from(ORDER)), rates, st.integers(0, 10_000))
def test_an_opening_is_whole_seconds_of_the_time_code_and_moves_no_sound(
    opens: list[Opens], rate: Fraction, frames: int
) -> None:
    found = opening(opens, rate)
    assert [part.what for part in found.parts] == [what for what in ORDER if what in opens]
    assert found.frames % frames_in_label(rate) == 0
    assert found.samples == found.frames * 48_000 / rate, "a whole number of samples at every rate"
    assert samples_of(found.frames + frames, rate) == found.samples + samples_of(frames, rate)


@given(rates)
def test_the_last_figure_and_its_tone_stand_exactly_two_seconds_before_the_film(rate: Fraction) -> None:
    base = frames_in_label(rate)
    figures = leader(rate)
    assert sum(seen.frames for seen in figures) == opening(["leader"], rate).frames == 8 * base
    shown = [seen.figure for seen in figures for _ in range(seen.frames)]
    assert shown == [f for f in (8, 7, 6, 5, 4, 3) for _ in range(base)] + [2] + [None] * (2 * base - 1)
    whole = opening(["leader", "bars"], rate)
    pop = whole.tones[-1]
    assert pop[1] == pop[0] + samples_of(1, rate)
    assert whole.samples - pop[0] == 2 * base * 48_000 / rate


@pytest.mark.parametrize(
    ("rate", "label", "first"),
    [("24", "01:00:00:00", "00:59:37:00"), ("25", "10:00:00:00", "09:59:37:00"),
     ("30000/1001", "01:00:00;00", "00:59:37;00")],
)  # fmt: skip
def test_a_file_with_all_of_it_begins_on_a_whole_second(rate: str, label: str, first: str) -> None:
    """10, 5 and 8 seconds; reckoned by hand: 23 s before the hour is 37 s after the minute before."""
    exact = parse_rate(rate)
    frames = opening(ORDER, exact).frames
    assert before(label, frames, exact) == first
    assert frame_of(first, exact) + frames == frame_of(label, exact)


def test_tones_lie_in_their_places_as_loud_as_asked_across_blocks() -> None:
    spans = [(100, 148), (BLOCK - 480, BLOCK + 480)]
    sound = np.concatenate(list(tones(BLOCK + 1000, spans, -18.0)))
    assert len(sound) == BLOCK + 1000
    heard = np.abs(sound).max(axis=1) > 0
    inside = np.zeros(len(sound), bool)
    for first, end in spans:
        inside[first:end] = True
    assert not heard[~inside].any()
    # the root mean square of a sine lies 3.01 dB under its peak
    rms = np.sqrt(np.mean(np.square(sound[BLOCK - 480 : BLOCK + 480].astype(np.float64))))
    assert 20 * np.log10(rms) == pytest.approx(-18 - 3.01, abs=0.01)
    spectrum = np.abs(np.fft.rfft(sound[BLOCK - 480 : BLOCK + 480, 0]))
    assert spectrum.argmax() * 48_000 / 960 == 1000


@given(st.lists(st.integers(0, 50), max_size=8), st.integers(0, 120))
def test_what_is_left_after_a_beginning_is_the_rest(lengths: list[int], count: int) -> None:
    whole = np.arange(sum(lengths) * 2, dtype=np.float32).reshape(-1, 2)
    ends = np.cumsum(lengths)
    blocks = [whole[end - n : end] for n, end in zip(lengths, ends, strict=True)]
    left = list(after(blocks, count))
    assert np.array_equal(np.concatenate([np.zeros((0, 2), np.float32), *left]), whole[count:])


def test_bars_are_white_six_colours_at_three_quarters_and_black_from_bright_to_dark() -> None:
    """100/0/75/0 of ITU-R BT.471, from memory: 75 % of 255 is 191."""
    picture = bars(Stage(1920, 1080, 400.0))
    assert picture.shape == (1080, 1920, 3)
    assert (picture == picture[0]).all()
    assert [tuple(picture[0, 240 * i + 120]) for i in range(8)] == list(BARS)
    light = [0.2126 * r + 0.7152 * g + 0.0722 * b for r, g, b in BARS]
    assert light == sorted(light, reverse=True)
    assert {v for colour in BARS[1:-1] for v in colour} == {0, 191}
    changes = np.flatnonzero((picture[0, 1:] != picture[0, :-1]).any(axis=1)) + 1
    assert (changes % 2 == 0).all(), "chroma is halved: no bar ends between two that share it"


@given(st.integers(8, 40), st.integers(8, 40), st.sampled_from("83"), st.text(max_size=30))
def test_cards_can_be_drawn_at_any_size(width: int, height: int, figure: str, title: str) -> None:
    stage = Stage(2 * width, 2 * height, 400.0)
    plain = "".join(c for c in title if c.isprintable())
    for picture in (
        slate(stage, plain, (("length", "1 s"),), card_font()),
        count(stage, int(figure), 0.3, card_font()),
        bars(stage),
    ):
        assert picture.shape == (stage.height, stage.width, 3)
        assert picture.dtype.name == "uint8"


@given(st.integers(1, 7))
def test_all_that_a_slate_says_lies_on_its_card(count: int) -> None:
    with_words, without = (
        slate(STAGE, "Exact Change", lines, card_font()).astype(int)
        for lines in ([("revision", "qgy 3")] * count, ())
    )
    rows, columns = np.abs(with_words - without).max(axis=2).nonzero()
    assert rows.max() < STAGE.height * 0.88 - 2
    assert columns.min() > 0.15 * STAGE.width


def test_the_hand_turns_and_all_else_stays() -> None:
    up, down = (count(STAGE, 5, turn, card_font()).astype(int) for turn in (0.0, 0.5))
    moved = np.abs(up - down).max(axis=2) > 8
    rows, columns = moved.nonzero()
    assert moved.any()
    assert columns.min() > STAGE.width / 2
    assert rows.min() > STAGE.height / 2
    assert (count(STAGE, 5, 0.0, card_font()) == up).all()


def test_a_slate_says_only_what_is_known() -> None:
    lines = slate_lines(702, Fraction(24), (1920, 1080), "stereo", "", "01:00:00:00", "", "3")
    assert dict(lines) == {
        "length": "00:00:29:06  (29.25 s, 702 frames)",
        "picture": "1920 × 1080, 24 frames a second",
        "sound": "stereo",
        "first frame": "01:00:00:00",
        "revision": "3",
    }
