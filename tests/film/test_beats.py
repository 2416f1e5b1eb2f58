"""Panels that keep to the beats of a sound."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.film.beats import Music, beats_heard, snap
from splitpin.scene.scene import Cue, Panel, Scene
from splitpin.sound.document import SoundDocument

RATE = Fraction(24)


def music(length: Fraction | None = Fraction(8), **says: object) -> Music:
    return Music(SoundDocument.model_validate({"format": 1, **says}), length)


def scene(*seconds: float, cues: list[dict[str, object]] | None = None) -> Scene:
    panels = [{"name": f"p{i}", "seconds": float(s)} for i, s in enumerate(seconds)]
    return Scene.model_validate({"format": 1, "snap": "m.wav", "panels": panels, "cues": cues or []})


def ends(panels: list[Panel]) -> list[int]:
    total, found = 0, []
    for panel in panels:
        total += panel.frames or 0
        found.append(total)
    return found


CUE = Cue(sound="m.wav", loop=True)


def test_each_panel_ends_on_the_frame_nearest_to_the_beat_nearest_to_its_written_end() -> None:
    """120 a minute from 0.1 s: beats on frames 2.4, 14.4, 26.4, 38.4, 50.4 at 24 a second."""
    snapped = snap(scene(0.7, 0.5, 0.9), music(tempo=120.0, first_beat=0.1), RATE, [CUE], 0)
    assert ends(snapped.scene.panels) == [14, 26, 50]
    assert [(m.panel, m.frames) for m in snapped.moved] == [(0, -3), (1, -3)]
    assert [float(m.beats) for m in snapped.moved] == pytest.approx([2.8 / 12, 2.8 / 12])


def test_beats_count_from_where_the_film_plays_the_sound() -> None:
    """The scene opens on frame 30; beats of the film fall on frames 0, 12, 24, 36, 48."""
    snapped = snap(scene(0.3, 0.6), music(tempo=120.0), RATE, [CUE], 30)
    assert ends(snapped.scene.panels) == [6, 18]


def test_beats_count_from_a_cue_of_the_scene_whose_panel_has_moved() -> None:
    cue: dict[str, object] = {"sound": "m.wav", "panel": "p1", "start": 0.25}
    snapped = snap(scene(1, 0.8, 0.4, cues=[cue]), music(tempo=60.0), RATE)
    assert ends(snapped.scene.panels) == [24, 24 + 6 + 24, 24 + 6 + 24 + 1]


def test_a_loop_goes_on_beating_and_a_sound_that_ends_does_not() -> None:
    short = music(Fraction(3, 2), beats=[0.0, 0.5, 1.0])
    times = beats_heard(CUE, short, Fraction(1), Fraction(5))
    assert [float(t) for t in times] == [1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5]
    once = CUE.model_copy(update={"loop": False})
    assert [float(t) for t in beats_heard(once, short, Fraction(1), Fraction(5))] == [1, 1.5, 2]
    skipped = CUE.model_copy(update={"skip": 0.5})
    assert [float(t) for t in beats_heard(skipped, short, Fraction(0), Fraction(2))] == [0, 0.5, 1, 1.5]
    brief = CUE.model_copy(update={"seconds": 0.9})
    assert [float(t) for t in beats_heard(brief, short, Fraction(0), Fraction(9))] == [0, 0.5]


def test_an_end_long_after_the_music_stays_as_it_is_written() -> None:
    once = CUE.model_copy(update={"loop": False})
    snapped = snap(scene(0.6, 9.4), music(Fraction(2), tempo=120.0), RATE, [once], 0)
    assert ends(snapped.scene.panels) == [12, 240]


@given(
    st.lists(st.floats(0.05, 3), min_size=1, max_size=12),
    st.floats(30, 240),
    st.floats(0, 2),
    st.sampled_from([Fraction(24), Fraction(25), Fraction(30000, 1001)]),
)
def test_ends_fall_on_beats_and_every_panel_keeps_a_frame(
    seconds: list[float], tempo: float, first: float, rate: Fraction
) -> None:
    says = music(None, tempo=tempo, first_beat=first)
    snapped = snap(scene(*seconds), says, rate, [CUE], 0)
    at = ends(snapped.scene.panels)
    assert at == sorted(set(at))
    assert at[0] >= 1
    beats = [float(b * rate) for b in says.document.beats_before(Fraction(200))]
    written = 0.0
    for k, end in enumerate(at):
        written += float(seconds[k] * rate)
        on_beat = min(abs(b - end) for b in beats) <= 0.5 + 1e-6
        plain = end in (round(written), int(written + 0.5), (at[k - 1] if k else 0) + 1)
        assert on_beat or plain


def test_the_same_scene_comes_of_a_scene_that_is_in_time_already() -> None:
    once = snap(scene(0.7, 0.5, 0.9), music(tempo=120.0), RATE, [CUE], 0)
    assert snap(once.scene, music(tempo=120.0), RATE, [CUE], 0) == (once.scene, ())
