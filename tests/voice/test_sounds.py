"""What sort of sound is heard."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.spoken import LABIAL, SENTENCES, VOICES, VOWELS_F1, UnavailableError, espeak

from splitpin.voice.read import track_of
from splitpin.voice.sounds import SOUNDS


@settings(max_examples=20)
@given(seed=st.integers(0, 99), loud=st.floats(0, 2), length=st.integers(0, 20_000))
def test_the_sorts_of_sound_share_each_place_between_them_whatever_is_heard(
    seed: int, loud: float, length: int
) -> None:
    sound = (np.random.default_rng(seed).normal(size=length) * loud).astype(np.float32)
    sounds = track_of(sound).sounds
    assert sounds.shape == (-(-length // 480), len(SOUNDS))
    assert np.all((sounds >= 0) & (sounds <= 1))
    np.testing.assert_allclose(sounds.sum(axis=1), 1)


def test_vowels_and_shut_lips_of_a_voice_that_nobody_tuned_for_are_mostly_told() -> None:
    try:
        sentences = [espeak(text, *VOICES[2]) for text in SENTENCES]
    except UnavailableError as missing:
        pytest.skip(str(missing))
    vowels, labials = [], []
    for spoken in sentences:
        told = track_of(spoken.sound).sounds.argmax(axis=1)
        for phone in spoken.phones:
            middle = round((phone.start + phone.end) * 50)
            if phone.kind in VOWELS_F1:
                vowels.append(SOUNDS[told[middle]] == "vowel")
            elif phone.kind == LABIAL:
                labials.append(SOUNDS[told[middle]] == "labial")
    assert np.mean(vowels) > 0.9
    assert np.mean(labials) > 0.8
