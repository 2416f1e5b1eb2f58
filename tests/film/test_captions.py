"""Captions say every word, on frames, as long as they can be read; and other programs read them."""

from __future__ import annotations

from fractions import Fraction
from io import StringIO
from itertools import pairwise

import pytest
import srt
import webvtt
from hypothesis import given
from hypothesis import strategies as st

from splitpin.film.caption_checks import unread
from splitpin.film.caption_rules import CaptionRules
from splitpin.film.caption_split import split
from splitpin.film.caption_text import srt as as_srt
from splitpin.film.caption_text import vtt as as_vtt
from splitpin.film.caption_words import letters_of, words_of
from splitpin.film.captions import Caption, Part, Spoken, captions
from splitpin.measure.rate import NAMED, parse_rate

RULES = CaptionRules()
RATES = st.sampled_from([parse_rate(name) for name in NAMED])
WORDS = st.text("abcdefghij éßжλ&<>.,!?’", min_size=1, max_size=50).filter(lambda w: w.split())
TEXTS = st.lists(WORDS, min_size=1, max_size=30).map(" ".join)


@st.composite
def spoken_lines(draw: st.DrawFn) -> tuple[list[Spoken], int]:
    at, lines = Fraction(0), []
    for _ in range(draw(st.integers(1, 6))):
        start = at + draw(st.fractions(0, 60, max_denominator=48))
        end = start + draw(st.fractions(1, 300, max_denominator=48))
        speaker = draw(st.sampled_from(["", "cat", "Käthe"]))
        lines.append(Spoken(draw(TEXTS), speaker, start, end, int(end) + draw(st.integers(1, 50))))
        # some speak while others still do
        at = draw(st.sampled_from([start, end, end + 30]))
    return lines, max(line.until for line in lines)


def said(text: str) -> list[str]:
    return [word.text for word in words_of(text, RULES.letters)]


@given(TEXTS, st.integers(10, 60), st.integers(1, 3), st.integers(1, 5))
def test_no_word_is_lost_and_no_line_too_long(text: str, width: int, lines: int, least: int) -> None:
    words = words_of(text, width)
    chunks = split(words, width, lines, least)
    assert [w for c in chunks for line in c.lines for w in line.split(" ")] == [w.text for w in words]
    assert all(1 <= len(c.lines) <= lines and letters_of(x) <= width for c in chunks for x in c.lines)
    assert len(chunks) >= min(least, len(words))


@given(spoken_lines(), RATES)
def test_captions_keep_their_order_their_gaps_and_to_the_film(
    film: tuple[list[Spoken], int], rate: Fraction
) -> None:
    lines, total = film
    shown = captions(lines, total, rate)
    most = RULES.most_frames(rate)
    assert all(0 <= c.start < c.end <= total and c.end - c.start <= max(most, 1) for c in shown)
    assert all(b.start - a.end >= RULES.gap for a, b in pairwise(shown))
    assert all(len(c.lines) <= 2 and max(map(letters_of, c.lines)) <= 42 for c in shown)
    if total >= 3 * sum(len(said(line.text)) for line in lines):
        for index, line in enumerate(lines):
            parts = [p for c in shown for p in c.parts if p.spoken == index]
            assert " ".join(x for p in parts for x in p.lines).split() == said(line.text)


@given(TEXTS, RATES)
def test_a_caption_with_room_stands_as_long_as_it_is_read(text: str, rate: Fraction) -> None:
    line = Spoken(text, "", Fraction(0), Fraction(10 * len(text) + 40), 10**6)
    for caption in captions([line], 10**6, rate):
        seconds = (caption.end - caption.start) / rate
        assert seconds >= Fraction(5, 6)
        assert seconds >= Fraction(caption.letters, 17) or seconds > Fraction(7) - 1 / rate


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("A short line.", ("A short line.",)),
        (
            "If you had only told me, I would have brought the other saucer.",
            ("If you had only told me,", "I would have brought the other saucer."),
        ),
        # the lower line is the longer one, and "the" stays with its word
        (
            "He walked all the way up to the old lighthouse alone",
            ("He walked all the way", "up to the old lighthouse alone"),
        ),
    ],
)
def test_lines_break_where_a_reader_would_breathe(text: str, lines: tuple[str, ...]) -> None:
    (chunk,) = split(words_of(text, 42), 42, 2)
    assert chunk.lines == lines


@pytest.mark.parametrize("least", [1, 300])
def test_a_line_of_thousands_of_words_is_parted_all_the_same(least: int) -> None:
    words = words_of("the cat went to market with his basket. " * 400, 42)
    chunks = split(words, 42, 2, least)
    assert " ".join(line for c in chunks for line in c.lines) == " ".join(w.text for w in words)
    assert least <= len(chunks) <= max(least, len(words) / 4)


@pytest.mark.parametrize("sign", ["x", "é", "猫", "。", "\u0301"])
def test_one_very_long_word_is_broken_where_a_line_is_full(sign: str) -> None:
    words = words_of(sign * 4_000, 42)
    chunks = split(words, 42, 2)
    assert "".join(line for c in chunks for line in c.lines) == sign * 4_000
    assert all(letters_of(line) <= 42 for c in chunks for line in c.lines)


def test_lines_of_scripts_without_spaces_break_after_their_marks_and_get_no_spaces() -> None:
    text = (
        "猫は市場へ行きました。そして、籠を持って帰りました。だから、今日は「雨」です。それでも彼は歩いた。"
    )
    chunks = split(words_of(text, 42), 42, 2)
    lines = [line for c in chunks for line in c.lines]
    assert "".join(lines) == text
    # kinsoku shori, common practice: no mark that closes begins a line, none that opens ends one
    assert all(line[-1] in "。、" and line[0] not in "。、」" for line in lines)
    assert all(letters_of(line) <= 42 for line in lines)


@pytest.mark.parametrize(
    "text",
    [
        "I don't think that anybody in this town would ever have done so.",
        "Constantinople, Constantinople, Constantinople is a long way off",
        "It is a truth universally acknowledged that a single man in possession of a fortune wants a wife.",
        "The cat went to the market yesterday with his good old basket, and nobody at all knew why he wept.",
    ],
)
def test_two_lines_are_in_balance_and_no_word_stands_alone(text: str) -> None:
    for chunk in split(words_of(text, 42), 42, 2):
        sizes = [letters_of(line) for line in chunk.lines]
        assert min(sizes) >= max(sizes) / 2
        assert all(" " in line for line in chunk.lines)


def test_captions_and_lines_end_with_sentences_where_they_can() -> None:
    text = (
        "The kettle has been boiling since eight. Nobody in this house ever hears it but me."
        " Shall I take it off?"
    )
    chunks = split(words_of(text, 42), 42, 2)
    assert all(line.endswith((".", "?")) for c in chunks for line in c.lines)


def test_a_line_said_slowly_is_parted_by_its_words() -> None:
    times = tuple((Fraction(100 * i), Fraction(100 * i + 20)) for i in range(4))
    line = Spoken("One, two, three, four.", "", Fraction(0), Fraction(320), 400, times)
    shown = captions([line], 400, Fraction(24))
    assert [c.start for c in shown] == [0, 200]
    assert [c.lines for c in shown] == [("One, two,",), ("three, four.",)]


def test_two_who_speak_at_once_share_a_caption_with_a_dash_each() -> None:
    lines = [
        Spoken("Coffee?", "cat", Fraction(0), Fraction(30), 90),
        Spoken("Tea!", "dog", Fraction(12), Fraction(40), 90),
    ]
    (caption,) = captions(lines, 90, Fraction(24))
    assert caption.lines == ("- Coffee?", "- Tea!")
    assert (caption.start, caption.end) == (0, 40)


def test_frame_100_at_24_is_4167_thousandths() -> None:
    # shared conventions of the two formats; the value by hand: 100 / 24 = 4.1666…
    caption = Caption(100, 148, (Part("Cat", ("Salt & <pepper>",), 0),))
    assert "00:00:04.167 --> 00:00:06.167\n<v Cat>Salt &amp; &lt;pepper&gt;</v>" in as_vtt(
        [caption], Fraction(24)
    )
    assert as_srt([caption], Fraction(24)).startswith("1\n00:00:04,167 --> 00:00:06,167\nSalt & <pepper>\n")


@given(spoken_lines(), RATES)
def test_other_programs_read_what_is_written(film: tuple[list[Spoken], int], rate: Fraction) -> None:
    shown = captions(film[0], film[1], rate)
    read = list(srt.parse(as_srt(shown, rate)))
    assert [r.content for r in read] == ["\n".join(c.lines) for c in shown]
    for caption, one in zip(shown, read, strict=True):
        assert abs(one.start.total_seconds() - float(caption.start / rate)) <= 0.0006
        assert abs(one.end.total_seconds() - float(caption.end / rate)) <= 0.0006
    cues = webvtt.from_buffer(StringIO(as_vtt(shown, rate))).captions
    assert len(cues) == len(shown)
    for caption, cue in zip(shown, cues, strict=True):
        assert abs(cue.start_in_seconds - float(caption.start / rate)) <= 1  # it keeps whole seconds
        assert cue.raw_text.count("<v ") == sum(bool(p.speaker) for p in caption.parts)


def test_a_panel_too_short_for_its_line_is_told_with_what_would_do() -> None:
    text = "I have never in my life seen so much change for one coffee."
    line = Spoken(text, "cat", Fraction(0), Fraction(36), 36)
    (fault,) = unread([line], captions([line], 36, Fraction(24)), Fraction(24))
    assert fault.found.endswith("59 letters in 1.50 s, 39 a second")
    # 59 / 17 s is 3.47 s, 84 frames; 36 are there; 1.5 s is 25 letters
    assert fault.remedy == "give the panel 2.0 s more, or say it in 25 letters"


def test_a_line_with_time_enough_is_not_told_of() -> None:
    line = Spoken("No.", "cat", Fraction(0), Fraction(20), 20)
    assert unread([line], captions([line], 20, Fraction(24)), Fraction(24)) == ()
    short = line._replace(end=Fraction(10), until=10)
    (fault,) = unread([short], captions([short], 10, Fraction(24)), Fraction(24))
    assert fault.remedy == "give the panel 0.5 s more"


def test_a_word_longer_than_a_line_is_told_of() -> None:
    line = Spoken("o" * 50, "", Fraction(0), Fraction(100), 100)
    (fault,) = unread([line], captions([line], 100, Fraction(24)), Fraction(24))
    assert "50 letters" in fault.found
