"""Cues of scenes and of the film are heard at their exact samples, and what is not heard is reported."""

from __future__ import annotations

from fractions import Fraction
from math import floor

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.film.soundtrack import soundtrack
from splitpin.measure.rate import NAMED
from splitpin.scene.scene import Cue
from splitpin.sheet.sheet import Sheet, Sounding
from splitpin.sound.source import Samples, Sound

rates = st.sampled_from(NAMED).map(Fraction)


def noise(samples: int, seed: int = 0) -> Sound:
    return np.random.default_rng(seed).uniform(-0.5, 0.5, (samples, 2)).astype(np.float32)


NOISE = Samples(noise(20_000))
SOURCES = {"sounds/it.wav": NOISE}


def sheet(name: str, rate: Fraction, frames: int, *soundings: Sounding) -> Sheet:
    return Sheet(name, rate, frames, "#ffffff", (), (), soundings, (("a", 0, frames),))


def cue(**keys: object) -> Cue:
    return Cue.model_validate({"sound": "sounds/it.wav", **keys})


def sounding(at: Fraction | float, until: int = 240, /, **keys: object) -> Sounding:
    return Sounding(cue(**keys), Fraction(at), Fraction(until))


@given(
    rates, st.lists(st.integers(1, 400), min_size=1, max_size=4), st.fractions(0, 40, max_denominator=1000)
)
def test_a_cue_in_the_last_scene_is_at_the_sample_nearest_to_its_exact_time(
    rate: Fraction, lengths: list[int], at: Fraction
) -> None:
    sheets = [sheet(f"s{i}", rate, n) for i, n in enumerate(lengths)]
    sheets[-1] = sheets[-1]._replace(soundings=(sounding(at),))
    track = soundtrack(sheets, (), rate, SOURCES)
    exact = (sum(lengths[:-1]) + at) * 48_000 / rate
    assert abs(track.voicings[0].at - exact) <= Fraction(1, 2)
    assert track.mix.length == floor(sum(lengths) * 48_000 / rate + Fraction(1, 2))


@given(rates, st.integers(0, 100))
def test_a_cues_place_found_by_cross_correlation_is_exact(rate: Fraction, frame: int) -> None:
    track = soundtrack([sheet("a", rate, 200, sounding(frame))], (), rate, SOURCES)
    sound = track.mix.read(0, track.mix.length)[:, 0].astype(np.float64)
    part = NOISE.read(0, 4_000)[:, 0].astype(np.float64)
    size = 1 << (len(sound) + len(part)).bit_length()
    like = np.fft.irfft(np.fft.rfft(sound, size) * np.conj(np.fft.rfft(part, size)), size)
    assert like.argmax() == floor(frame * 48_000 / rate + Fraction(1, 2))


def test_the_films_own_cues_count_from_its_start_and_loop_to_its_end() -> None:
    rate = Fraction(24)
    sheets = [sheet("a", rate, 48), sheet("b", rate, 24)]
    track = soundtrack(sheets, [cue(start=0.5, loop=True, kind="music", gain=-6)], rate, SOURCES)
    (voicing,) = track.voicings
    assert (voicing.at, voicing.end, voicing.loop, voicing.kind) == (24_000, 144_000, True, "music")
    assert track.unheard == ()


def test_a_loop_in_a_scene_ends_with_its_scene_unless_it_says_how_long() -> None:
    rate = Fraction(24)
    loops = [sounding(12, 48, loop=True), sounding(12, 48, loop=True, seconds=0.75)]
    track = soundtrack([sheet("a", rate, 24), sheet("b", rate, 48, *loops)], (), rate, SOURCES)
    assert [(v.at, v.end) for v in track.voicings] == [(72_000, 144_000), (72_000, 108_000)]


def test_skip_seconds_and_fades_are_whole_samples_of_the_decimal_numbers_that_were_written() -> None:
    rate = Fraction(24)
    one = sounding(0, skip=0.1, seconds=0.2, fade_in=0.05, fade_out=0.0123)
    (voicing,) = soundtrack([sheet("a", rate, 48, one)], (), rate, SOURCES).voicings
    assert (voicing.skip, voicing.length, voicing.fade_in, voicing.fade_out) == (4_800, 9_600, 2_400, 590)


def test_a_cue_is_heard_no_longer_than_its_file_lasts() -> None:
    rate = Fraction(24)
    one = sounding(0, skip=0.1, seconds=3.0)
    (voicing,) = soundtrack([sheet("a", rate, 48, one)], (), rate, SOURCES).voicings
    assert voicing.length == 20_000 - 4_800


@pytest.mark.parametrize(
    ("at", "keys", "found"),
    [
        (12, {"sound": "sounds/gone.wav"}, "not there"),
        (12, {"sound": "sounds/quiet.wav"}, "nothing can be heard"),
        (12, {"skip": 9.0}, "all of the sound is skipped"),
        (12, {"skip": 9.0, "loop": True}, "all of the sound is skipped"),
        (12, {"seconds": 0.0}, "no time at all"),
        (12, {"loop": True, "seconds": 9.0}, "cut off by the end"),
        (100, {}, "outside the film"),
        (-100, {}, "outside the film"),
        (-2, {}, "before the film"),
    ],
)
def test_what_is_not_heard_is_reported_with_its_place(at: int, keys: dict[str, object], found: str) -> None:
    rate = Fraction(24)
    sources = {**SOURCES, "sounds/quiet.wav": Samples(noise(1_000) * np.float32(1e-4))}
    one = Sounding(cue(**keys), Fraction(at), Fraction(96))
    track = soundtrack([sheet("second", rate, 96, one), sheet("third", rate, 1)], (), rate, sources)
    (report,) = track.unheard
    assert found in report.found
    assert report.scene == "second"
    assert report.sound in str(report)
    assert report.remedy
    assert np.isfinite(track.mix.read(0, track.mix.length)).all()


def test_a_cue_on_what_comes_after_the_end_of_its_scene_is_not_heard_in_the_next_one() -> None:
    late = sheet("short", Fraction(24), 24)._replace(unheard=(sounding(38, event="b.hit"),))
    track = soundtrack([late, sheet("next", Fraction(24), 96)], (), Fraction(24), SOURCES)
    assert track.voicings == ()
    (report,) = track.unheard
    assert report.found == "b.hit never happens: the scene ends before"
    assert (report.scene, report.key) == ("short", "event")


def test_a_film_without_a_sound_is_silent_and_as_long_as_its_pictures() -> None:
    track = soundtrack([sheet("a", Fraction(30_000, 1_001), 30)], (), Fraction(30_000, 1_001), {})
    assert track.mix.length == 48_048
    assert not track.mix.read(0, 48_048).any()
