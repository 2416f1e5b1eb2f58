"""Timelines read back by the library: clips, lengths and markers are those of the sheets."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import accumulate, pairwise

import opentimelineio as otio
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitpin.device.editing_room import EDL_RATES, Media, timeline_of, write_edl, write_otio
from splitpin.film.assembly import Assembly, assemble
from splitpin.measure.rate import NAMED, samples_of
from splitpin.measure.timecode import DROPPED, frame_of
from splitpin.sheet.sheet import Sheet
from splitpin.sound.mix import Voicing

LENGTHS = {"knock.wav": 9_000, "a word.flac": 70_001, "hum.ogg": 20_000}
MEDIA = Media("our film.mp4", 0, {name: f"../sounds/{name}" for name in LENGTHS}, LENGTHS)

lengths = st.lists(st.integers(1, 90), min_size=1, max_size=4)
voicings = st.builds(
    Voicing,
    source=st.sampled_from(list(LENGTHS)),
    at=st.integers(-50_000, 600_000),
    length=st.integers(1, 100_000),
    skip=st.integers(0, 8_999),
    gain=st.sampled_from([0.0, -6.5]),
    loop=st.booleans(),
    kind=st.sampled_from(["voice", "effect", "music"]),
)


@st.composite
def films(draw: st.DrawFn, rates: tuple[Fraction, ...]) -> tuple[list[Sheet], list[Voicing], Assembly]:
    rate = draw(st.sampled_from(rates))
    sheets = []
    for i, panels in enumerate(draw(st.lists(lengths, min_size=1, max_size=5))):
        starts = [sum(panels[:k]) for k in range(len(panels))]
        named = tuple((f"p{k}", a, n) for k, (a, n) in enumerate(zip(starts, panels, strict=True)))
        sheets.append(Sheet(f"{i:02}0-scene", rate, sum(panels), "#ffffff", (), (), (), named))
    heard = draw(st.lists(voicings, max_size=6))
    return sheets, heard, assemble(sheets, [s.scene for s in sheets], heard, LENGTHS, rate)


def samples(time: otio.opentime.RationalTime) -> int:
    assert time.rate == 48_000
    return int(time.value)


@settings(max_examples=40)
@given(films(tuple(map(Fraction, NAMED))))
def test_scenes_and_panels_are_those_of_the_sheets(film: tuple[list[Sheet], list[Voicing], Assembly]) -> None:
    sheets, _, assembly = film
    text = write_otio(timeline_of("Ours", assembly, MEDIA, "01:00:00:00")).decode()
    back = otio.adapters.read_from_string(text, "otio_json")
    rate = float(assembly.rate)
    assert back.global_start_time.value == 3600 * round(rate)
    clips = list(back.video_tracks()[0])
    assert [clip.name for clip in clips] == [sheet.scene for sheet in sheets]
    assert [clip.duration().value for clip in clips] == [sheet.frames for sheet in sheets]
    start = 0
    for clip, sheet in zip(clips, sheets, strict=True):
        assert (clip.source_range.start_time.value, clip.source_range.start_time.rate) == (start, rate)
        assert clip.media_reference.target_url == "our%20film.mp4"
        marks = [
            (m.name, m.marked_range.start_time.value - start, m.marked_range.duration.value)
            for m in clip.markers
        ]
        assert marks == list(sheet.panels)
        start += sheet.frames


@settings(max_examples=40)
@given(films(tuple(map(Fraction, NAMED))))
def test_every_sample_of_every_sound_is_where_it_is_mixed(
    film: tuple[list[Sheet], list[Voicing], Assembly],
) -> None:
    sheets, heard, assembly = film
    text = write_otio(timeline_of("Ours", assembly, MEDIA, "01:00:00:00")).decode()
    back = otio.adapters.read_from_string(text, "otio_json")
    end = samples_of(sum(sheet.frames for sheet in sheets), assembly.rate)
    found = []
    for track in back.audio_tracks():
        for clip in track.find_clips():
            span = clip.range_in_parent()
            at, length = samples(span.start_time), samples(span.duration)
            skip = samples(clip.source_range.start_time)
            assert skip + length <= samples(clip.media_reference.available_range.duration)
            kind, gain = (clip.metadata["splitpin"][key] for key in ("kind", "gain_db"))
            found.append((clip.name, kind, gain, at, length, skip))
    assert sum(one[4] for one in found) == sum(_heard(v, end) for v in heard)
    for name, kind, gain, at, length, skip in found:
        assert any(
            (v.source, v.kind, v.gain) == (name, kind, gain)
            and v.at <= at
            and at + length <= v.end
            and (at - v.at - skip + v.skip) % (LENGTHS[name] - v.skip if v.loop else 1 << 40) == 0
            for v in heard
        )


def _heard(voicing: Voicing, end: int) -> int:
    """Samples of a voicing that lie within the film, and within its sound where it does not loop."""
    last = (
        voicing.end if voicing.loop else min(voicing.end, voicing.at + LENGTHS[voicing.source] - voicing.skip)
    )
    return max(0, min(last, end) - max(voicing.at, 0))


@settings(max_examples=40)
@given(films(EDL_RATES), st.booleans())
def test_the_list_has_the_scenes_in_order_and_a_mark_at_each_panel(
    film: tuple[list[Sheet], list[Voicing], Assembly], drop: bool
) -> None:
    """The form writes names of marks in capitals, and no lengths for them. The library does not read marks
    with drop-frame labels, though it writes them: there they are read from the text.
    """
    sheets, _, assembly = film
    rate = float(assembly.rate)
    drop = drop and assembly.rate in DROPPED
    start = "00:59:58;00" if drop else "00:59:58:00"
    text = write_edl("Ours", assembly, MEDIA, start).decode()
    assert text.startswith(f"TITLE: Ours\nFCM: {'DROP FRAME' if drop else 'NON-DROP FRAME'}\n")
    assert (";" in text) == drop
    records = re.findall(r"^\d+ .* (\S+) (\S+)$", text, re.MULTILINE)
    first = frame_of(start, assembly.rate)
    ends = list(accumulate((sheet.frames for sheet in sheets), initial=first))
    assert [tuple(frame_of(label, assembly.rate) for label in r) for r in records] == list(pairwise(ends))
    back = otio.adapters.read_from_string(text, "cmx_3600", rate=rate)
    [track] = back.tracks
    assert [(c.name, round(c.duration().value)) for c in track] == [(s.scene, s.frames) for s in sheets]
    starts = list(accumulate((sheet.frames for sheet in sheets), initial=0))
    panels = [
        (n.upper(), at + first) for at, s in zip(starts, sheets, strict=False) for n, first, _ in s.panels
    ]
    written = re.findall(r"^\* LOC: (\S+) +\w+ +(\w+)$", text, re.MULTILINE)
    assert [(name, frame_of(label, assembly.rate)) for label, name in written] == panels
    if ";" not in text:
        assert [(m.name, round(m.marked_range.start_time.value)) for c in track for m in c.markers] == panels


@pytest.mark.parametrize("scenes", [["a"], ["b"], ["a", "c"], ["b", "c"], ["a", "b", "c"]])
def test_some_scenes_alone_keep_what_is_heard_over_them(scenes: list[str]) -> None:
    rate = Fraction(24)
    sheets = [Sheet(n, rate, 24, "#ffffff", (), (), (), (("p", 0, 24),)) for n in "abc"]
    whole = Voicing("hum.ogg", 0, 144_000, loop=True, kind="music")
    late = Voicing("a word.flac", 90_000, 20_000, skip=5, kind="voice")
    done = assemble(sheets, scenes, [whole, late], LENGTHS, rate)
    assert [(s.name, s.start) for s in done.scenes] == [(n, 24 * i) for i, n in enumerate(scenes)]
    sounds = {t.kind: t.clips for t in done.tracks}
    assert sum(c.length for c in sounds["music"]) == 48_000 * len(scenes)
    spoken = sum(c.length for c in sounds.get("voice", ()))
    assert spoken == 6_000 * ("b" in scenes) + 14_000 * ("c" in scenes)
    if scenes == ["b", "c"]:
        assert [(c.at, c.length, c.skip) for c in sounds["voice"]] == [(42_000, 20_000, 5)]
