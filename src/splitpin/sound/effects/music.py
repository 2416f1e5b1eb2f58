"""A music bed of our own: a strut for plucked strings and a wooden xylophone, with holes for the jokes."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from splitpin.sound.effects.craft import (
    Bounds,
    Chance,
    Wave,
    band,
    count,
    finished,
    placed,
    room,
    string,
    unit,
)
from splitpin.sound.effects.tuned import bar
from splitpin.sound.source import Sound

BEATS_A_MINUTE = 108.0
BEATS_A_BAR = 4

CHORDS: dict[str, tuple[int, ...]] = {
    "C": (60, 64, 67, 72),
    "C7": (60, 64, 67, 70),
    "F": (60, 65, 69, 72),
    "Fm": (60, 65, 68, 72),
    "G7": (59, 65, 67, 71),
    "Am": (60, 64, 69, 72),
    "D7": (60, 62, 66, 69),
    "Ab": (60, 63, 68, 72),
}
"""Notes as MIDI numbers: 60 is the C in the middle, 69 the A at 440 Hz."""

BASS = {
    "C": (48, 43),
    "C7": (48, 46),
    "F": (41, 48),
    "Fm": (41, 48),
    "G7": (43, 47),
    "Am": (45, 52),
    "D7": (50, 45),
}
BASS["Ab"] = (44, 51)

HARMONY = ("C", "C", "F", "G7", "C", "Am", "D7", "G7", "C", "C7", "F", "Fm", "C")
"""One chord a bar, but for the last, which is one beat."""

RESTS = frozenset({(3, 2), (3, 3), (7, 3), (10, 3), (11, 1), (11, 2), (11, 3)})
"""Bar and beat in which nobody plays: what the picture does is funnier there."""

TUNE: tuple[tuple[float, float, int], ...] = (
    # beat, length in beats, note
    (0.0, 0.5, 72), (0.5, 0.5, 76), (1.0, 0.5, 79), (2.5, 0.5, 79), (3.0, 0.5, 81), (3.5, 0.5, 79),
    (4.0, 1.0, 76), (6.5, 0.5, 75), (7.0, 0.5, 76), (7.5, 0.5, 72),
    (8.0, 0.5, 77), (8.5, 0.5, 81), (9.0, 0.5, 84), (10.5, 0.5, 84), (11.0, 0.5, 83), (11.5, 0.5, 81),
    (12.0, 0.5, 79), (13.0, 0.5, 71),
    (16.0, 0.5, 72), (16.5, 0.5, 76), (17.0, 0.5, 79), (18.5, 0.5, 79), (19.0, 0.5, 84), (19.5, 0.5, 79),
    (20.0, 0.5, 81), (21.0, 0.5, 76), (22.5, 0.5, 72), (23.0, 0.5, 71), (23.5, 0.5, 72),
    (24.0, 0.5, 74), (24.5, 0.5, 78), (25.0, 0.5, 81), (26.0, 0.5, 80), (26.5, 0.5, 81), (27.0, 0.5, 84),
    (28.0, 0.5, 83), (29.0, 0.5, 79), (30.0, 0.5, 74),
    (32.0, 0.5, 72), (32.5, 0.5, 76), (33.0, 0.5, 79), (34.5, 0.5, 79), (35.0, 0.5, 81), (35.5, 0.5, 79),
    (36.0, 0.5, 82), (37.0, 0.5, 79), (38.0, 0.5, 76), (39.0, 0.5, 70),
    (40.0, 0.33, 69), (40.33, 0.33, 72), (40.67, 0.33, 77), (41.0, 0.5, 81), (42.0, 0.5, 84),
    (44.0, 1.5, 80),
    (48.0, 0.5, 72), (48.5, 0.5, 60),
)  # fmt: skip
"""The xylophone: it struts, is sure of itself, and thinks again."""


def hertz_of(note: float) -> float:
    """The pitch of a MIDI number: equal temperament, 69 is 440 Hz."""
    return float(440.0 * 2.0 ** ((note - 69.0) / 12.0))


def music_bed(
    seed: int = 0, tempo: Annotated[float, Bounds(60, 240, "beats a minute")] = BEATS_A_MINUTE
) -> Sound:
    """About 27 s of a strut in C: bass on one and three, strums between, a xylophone that comments.

    Parameters
    ----------
    seed
        Another seed, other fingers.
    tempo
        Beats a minute; at 108 the last note falls 26.7 s after the first.
    """
    chance = np.random.default_rng(seed)
    beat = 60.0 / tempo
    band_stand = np.zeros((count(beat * (len(HARMONY) - 1) * BEATS_A_BAR + 3.0), 2))
    for k, chord in enumerate(HARMONY):
        last = k == len(HARMONY) - 1
        for b in range(1 if last else BEATS_A_BAR):
            if (k, b) in RESTS:
                continue
            at = (k * BEATS_A_BAR + b) * beat
            if b % 2 == 0:
                _play(band_stand, at, _bass(chance, BASS[chord][b // 2]), 0.0, 0.62)
            if b % 2 == 1 or last:
                _strum(chance, band_stand, at, chord, down=True, loud=0.5)
            if b == 3 and k % 2 == 1:
                _strum(chance, band_stand, at + beat * 0.58, chord, down=False, loud=0.32)
    for start, length, note in TUNE:
        swing = 0.08 if start % 1.0 == 0.5 else 0.0
        wave = bar(chance, hertz_of(note), 0.35 + 0.5 * length) * (0.85 + 0.15 * chance.random())
        _play(band_stand, (start + swing) * beat + abs(chance.normal(0, 0.004)), wave, 0.14, 0.38)
    return finished(room(chance, band_stand, 0.16, 0.4))


def _play(stand: Wave, at: float, wave: Wave, pan: float, loud: float) -> None:
    start = count(at)
    room_left = len(stand) - start
    stand[start : start + len(wave)] += placed(wave[:room_left], pan) * loud


def _bass(chance: Chance, note: int) -> Wave:
    wave = string(chance, hertz_of(note), 0.6, 0.12, 1.1)
    fade = np.clip((len(wave) - np.arange(len(wave))) / count(0.08), 0, 1)
    return unit(band(wave, 0, 1_500, 1)) * fade


def _strum(chance: Chance, stand: Wave, at: float, chord: str, down: bool, loud: float) -> None:
    """Four strings, one after another, damped at once."""
    notes = CHORDS[chord] if down else CHORDS[chord][::-1]
    for k, note in enumerate(notes):
        wave = string(chance, hertz_of(note), 0.34, 0.55, 0.8)
        t = np.arange(len(wave)) / len(wave)
        wave = unit(wave) * np.clip((1 - t) / 0.45, 0, 1)
        _play(stand, at + 0.011 * k + abs(chance.normal(0, 0.002)), wave, -0.35, loud * 0.62)
