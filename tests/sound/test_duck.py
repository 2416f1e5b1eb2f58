"""Music and effects make room for voices, where the voices really sound, and the blocks never show."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitpin.sound.duck import BELOW_ITS_LOUDEST, PAUSE, Ducking, dip, ducked, speech
from splitpin.sound.mix import Mix, Voicing
from splitpin.sound.source import SAMPLING, Samples, Sound

LENGTH = 5 * SAMPLING
DOWN = Ducking(12.0, 0.3, 0.7)


def flat(seconds: float, level: float) -> Sound:
    return np.full((round(seconds * SAMPLING), 2), level, dtype=np.float32)


def spoken() -> Sound:
    """A word of half a second after a quarter of one in which the room hums, a pause, and another word."""
    room = flat(0.25, 0.5 * 10 ** (-(BELOW_ITS_LOUDEST + 3) / 20))
    return np.concatenate([room, flat(0.5, 0.5), flat(PAUSE / 2, 0.0), flat(0.5, 0.4), room])


SOURCES = {
    "voice": Samples(spoken()),
    "flat": Samples(flat(5, 0.25)),
    "noise": Samples(np.random.default_rng(1).uniform(-0.5, 0.5, (LENGTH, 2)).astype(np.float32)),
}
VOICE = Voicing("voice", 2 * SAMPLING, len(spoken()), kind="voice")
MUSIC = Voicing("flat", 0, LENGTH, kind="music")
NOISE = Voicing("noise", 300, LENGTH - 1_000, gain=-3, pan=0.2, fade_in=500, fade_out=700)


def mixed(*heard: Voicing, ducking: Ducking = DOWN) -> Mix:
    return ducked(Mix(heard, SOURCES, LENGTH), heard, SOURCES, ducking)


WHOLE = mixed(VOICE, MUSIC, NOISE)
WORDS = (2.25, 2.25 + 1.0 + PAUSE / 2)
"""When the first word begins and the last one ends, seconds."""


@settings(max_examples=10)
@given(st.integers(7_000, LENGTH + 10))
def test_the_size_of_the_blocks_never_shows_in_a_single_bit(size: int) -> None:
    assert np.array_equal(np.concatenate(list(WHOLE.blocks(size))), WHOLE.read(0, LENGTH))


@settings(max_examples=25)
@given(st.integers(0, LENGTH), st.integers(0, 700))
def test_any_span_can_be_read_by_itself(start: int, count: int) -> None:
    sound = np.pad(WHOLE.read(0, LENGTH), ((0, 700), (0, 0)))
    assert np.array_equal(WHOLE.read(start, count), sound[start : start + count])


@pytest.mark.parametrize(
    ("heard", "db"), [((VOICE, MUSIC, NOISE), 0.0), ((MUSIC, NOISE), 12.0)], ids=["off", "nobody speaks"]
)
def test_nothing_changes_when_it_is_off_or_nobody_speaks(heard: tuple[Voicing, ...], db: float) -> None:
    plain = Mix(heard, SOURCES, LENGTH)
    assert ducked(plain, heard, SOURCES, DOWN._replace(db=db)) is plain


def test_music_is_down_by_its_decibels_while_words_sound_and_untouched_far_from_them() -> None:
    music = mixed(VOICE, MUSIC).stem("music").read(0, LENGTH)[:, 0] / 0.25
    start, end = (round(s * SAMPLING) for s in WORDS)
    np.testing.assert_allclose(music[start:end], 10 ** (-12 / 20), rtol=1e-6)
    assert (music[: start - round(0.31 * SAMPLING)] == 1).all()
    assert (music[end + round(0.71 * SAMPLING) :] == 1).all()


def test_it_goes_down_before_the_voice_and_comes_back_after_it_without_a_step() -> None:
    music = mixed(VOICE, MUSIC).stem("music").read(0, LENGTH)[:, 0] / 0.25
    start, end = (round(s * SAMPLING) for s in WORDS)
    assert (np.diff(music[:start]) <= 0).all()
    assert (np.diff(music[end:]) >= 0).all()
    assert np.abs(np.diff(20 * np.log10(music))).max() < 12 * 1.6 / (0.3 * SAMPLING)


def test_the_voice_itself_and_cues_that_ask_for_it_stay_as_they_are() -> None:
    mix = mixed(VOICE, MUSIC._replace(ducks=False))
    assert np.array_equal(mix.read(0, LENGTH), Mix((VOICE, MUSIC), SOURCES, LENGTH).read(0, LENGTH))
    mix = mixed(VOICE._replace(ducks=False), MUSIC)
    assert np.array_equal(mix.read(0, LENGTH), Mix((VOICE, MUSIC), SOURCES, LENGTH).read(0, LENGTH))


def test_a_soft_voice_is_heard_as_well_as_a_loud_one() -> None:
    loud = speech((VOICE,), SOURCES, LENGTH)
    assert np.array_equal(loud, speech((VOICE._replace(gain=-20),), SOURCES, LENGTH))
    assert loud.sum() == pytest.approx(100, abs=2)
    assert not speech((VOICE._replace(gain=-60),), SOURCES, LENGTH).any()


@given(
    st.lists(st.booleans(), min_size=1, max_size=300),
    st.floats(0.1, 40),
    st.floats(0, 2),
    st.floats(0, 2),
)
def test_the_gain_lies_between_all_down_and_untouched_and_is_all_down_in_speech(
    steps: list[bool], db: float, attack: float, release: float
) -> None:
    said = np.array(steps)
    gains = dip(said, Ducking(db, attack, release))
    low = 10 ** (-db / 20)
    assert len(gains) == len(said) + 1
    assert (gains <= 1).all()
    assert (gains >= low * (1 - 1e-12)).all()
    for edges in (gains[:-1], gains[1:]):
        np.testing.assert_allclose(edges[said], low)


@pytest.mark.parametrize("heard", [(VOICE, MUSIC, NOISE), (MUSIC, NOISE), (VOICE, NOISE)])
def test_stems_add_up_to_the_mix(heard: tuple[Voicing, ...]) -> None:
    mix = mixed(*heard)
    stems = [mix.stem(kind).read(0, LENGTH) for kind in ("voice", "effect", "music")]
    np.testing.assert_allclose(sum(stems), mix.read(0, LENGTH), atol=2e-7)
