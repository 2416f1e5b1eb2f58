"""A scene is silent when no sound lies in it: none of its own, of the film, or of a neighbour."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from splitpin.film.silence import heard_in
from splitpin.film.soundtrack import Length
from splitpin.measure.table import Stage
from splitpin.scene.scene import Cue, Scene
from splitpin.sheet.expose import expose
from splitpin.sheet.sheet import Sheet

RATE = Fraction(24)
LENGTHS = {"tick.wav": Length(24_000, silent=False), "nothing.wav": Length(480_000, silent=True)}
"""Half a second of sound, and ten seconds of silence."""


def scene(name: str, seconds: float, *cues: dict[str, Any]) -> Sheet:
    document = {"format": 1, "panels": [{"name": "one", "seconds": seconds}], "cues": list(cues)}
    return expose(name, Scene.model_validate(document), {}, Stage(64, 36, 100.0), RATE, 2).sheet


def test_a_sound_that_ends_with_its_scene_is_not_heard_in_the_next() -> None:
    first = scene("one", 2, {"sound": "tick.wav", "start": 1.5})
    assert heard_in([first, scene("two", 1)], [], RATE, LENGTHS) == (True, False)
    later = scene("one", 2, {"sound": "tick.wav", "start": 1.6})
    assert heard_in([later, scene("two", 1)], [], RATE, LENGTHS) == (True, True)


def test_the_films_own_sounds_count_where_they_are() -> None:
    cue = Cue(sound="tick.wav", start=1.2)
    scenes = [scene(name, 1) for name in ("one", "two", "three")]
    assert heard_in(scenes, [cue], RATE, LENGTHS) == (False, True, False)


def test_a_file_in_which_nothing_is_heard_and_one_that_is_gone_are_no_sounds() -> None:
    scenes = [scene("one", 1, {"sound": "nothing.wav"}), scene("two", 1, {"sound": "lost.wav"})]
    assert heard_in(scenes, [], RATE, LENGTHS) == (False, False)


@pytest.mark.parametrize("n", range(50))
def test_scenes_are_silent_just_where_no_sample_of_a_mix_is_heard(n: int) -> None:
    """Against a plain list of samples, into which every cue is written as ones."""
    chance = np.random.default_rng(n)
    lengths = [round(float(chance.uniform(0.5, 3)), 2) for _ in range(4)]
    cues: list[list[dict[str, Any]]] = [
        [
            {"sound": "tick.wav", "start": round(float(chance.uniform(0, seconds)), 2)}
            for _ in range(int(chance.integers(2)))
        ]
        for seconds in lengths
    ]
    sheets = [scene(f"s{k}", s, *its) for k, (s, its) in enumerate(zip(lengths, cues, strict=True))]
    track = np.zeros(sum(sheet.frames for sheet in sheets) * 2000 + 48_000, np.bool_)
    at = 0
    bounds = []
    for sheet, its in zip(sheets, cues, strict=True):
        for cue in its:
            first = at + round(float(cue["start"]) * 48_000)
            track[first : first + 24_000] = True
        bounds.append((at, at + sheet.frames * 2000))
        at += sheet.frames * 2000
    assert heard_in(sheets, [], RATE, LENGTHS) == tuple(bool(track[a:b].any()) for a, b in bounds)
