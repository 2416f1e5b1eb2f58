"""Words laid along a voice."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.mouth_scores import ON, RATE, scored
from tests.spoken import SENTENCES, VOICES, Spoken, UnavailableError, espeak, librivox

from splitpin.voice.align import aligned, sharpened
from splitpin.voice.letters import units_of
from splitpin.voice.read import read, track_of
from splitpin.voice.track import Track

HUM = np.sin(np.arange(96_000) * 0.02) * np.repeat([0, 1, 0, 1], 24_000)
TRACKS = (
    track_of(HUM.astype(np.float32)),
    track_of(np.zeros(48_000, np.float32)),
    track_of(np.zeros(0, np.float32)),
    track_of(np.random.default_rng(3).normal(size=50_000).astype(np.float32)),
)


def spoken_by(voice: int) -> list[Spoken]:
    try:
        return [espeak(text, *VOICES[voice]) for text in SENTENCES]
    except UnavailableError as missing:
        pytest.skip(str(missing))


def read_aloud() -> Sequence[Spoken]:
    try:
        return librivox()
    except UnavailableError as missing:
        pytest.skip(str(missing))


def starts_within(sentences: Sequence[Spoken], seconds: float) -> float:
    """The share of words that start within so many seconds of the truth."""
    hits = []
    for spoken in sentences:
        found = aligned(track_of(spoken.sound), " ".join(text for text, _, _ in spoken.words))
        hits += [
            abs(word.start_s - start) <= seconds
            for word, (_, start, _) in zip(found, spoken.words, strict=True)
        ]
    return float(np.mean(hits))


@settings(max_examples=100)
@given(track=st.sampled_from(TRACKS), text=st.text(max_size=200))
def test_any_text_lies_in_any_track_word_for_word_in_order_and_without_overlap(
    track: Track, text: str
) -> None:
    words = aligned(track, text)
    assert [word.text for word in words] == text.split()
    at = 0.0
    for word in words:
        assert at <= word.start_s <= word.end_s
        at = word.end_s
    assert at <= len(track.speech) / 100


@given(track=st.sampled_from(TRACKS), text=st.text(max_size=100))
def test_words_change_nothing_of_a_track_but_how_sure_closures_are(track: Track, text: str) -> None:
    sharp = sharpened(track, aligned(track, text))
    assert np.all((sharp.closure >= 0) & (sharp.closure <= 1))
    for before, after in zip(
        track._replace(closure=track.level), sharp._replace(closure=track.level), strict=True
    ):
        np.testing.assert_array_equal(before, after)


def test_without_words_a_track_stays_as_it_is() -> None:
    assert sharpened(TRACKS[0], ()) is TRACKS[0]


@pytest.mark.parametrize(
    ("word", "kinds"),
    [
        ("map", ["labial", "vowel", "labial"]),
        ("bumblebee", ["labial", "vowel", "labial", "glide", "vowel", "labial", "vowel"]),
        ("phone", ["breath", "vowel", "nasal", "vowel"]),
        ("lamb", ["glide", "vowel", "labial"]),
        ("ship", ["hiss", "vowel", "labial"]),
        ("Bücher", ["labial", "vowel", "hiss", "vowel", "glide"]),
        ("knock", ["nasal", "vowel", "stop"]),
        ("year", ["glide", "vowel", "glide"]),
        ("giant", ["other", "vowel", "nasal", "stop"]),
        ("été", ["vowel", "stop", "vowel"]),
        ("мама", ["labial", "vowel", "labial", "vowel"]),
        ("новый", ["nasal", "vowel", "breath", "vowel"]),
        ("«Ho!»", ["breath", "vowel"]),
        ("7", ["any", "any"]),
        ("—", []),
    ],
)
def test_letters_stand_for_the_sounds_that_they_mostly_stand_for(word: str, kinds: list[str]) -> None:
    assert [unit.kind for unit in units_of([word]) if unit.kind != "pause"] == kinds


@pytest.mark.parametrize("voice", [0, 2])
def test_nearly_all_words_of_a_speaking_machine_are_found_within_a_tenth_of_a_second_of_where_they_start(
    voice: int,
) -> None:
    assert starts_within(spoken_by(voice), 0.1) >= 0.94


def test_most_words_that_people_read_aloud_are_found_within_a_tenth_of_a_second_of_where_they_start() -> None:
    assert starts_within(read_aloud(), 0.1) >= 0.8
    assert starts_within(read_aloud(), 0.3) >= 0.95


@pytest.mark.parametrize("voice", [0, 2, None])
def test_mouths_fit_better_where_somebody_has_written_the_words_down(voice: int | None) -> None:
    sentences = read_aloud() if voice is None else spoken_by(voice)
    tracks = [track_of(spoken.sound) for spoken in sentences]
    alone = scored((s, read(t, RATE, ON)) for s, t in zip(sentences, tracks, strict=True))
    written = scored(
        (s, read(sharpened(t, aligned(t, s.text)), RATE, ON)) for s, t in zip(sentences, tracks, strict=True)
    )
    assert written.recalled >= alone.recalled
    assert written.false <= alone.false / 2
    assert written.onsets >= alone.onsets
