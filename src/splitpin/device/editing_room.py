"""A film written for editing programs: OpenTimelineIO, and the old CMX 3600 edit decision list."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, NamedTuple
from urllib.parse import quote

import opentimelineio as otio
from opentimelineio.opentime import RationalTime, TimeRange

from splitpin.film.assembly import Assembly, SceneClip, SoundTrack
from splitpin.measure.timecode import frame_of, frames_in_label
from splitpin.sound.source import SAMPLING

EDL_RATES = tuple(map(Fraction, ("24000/1001", "24", "25", "30000/1001", "30")))
"""The rates at which an edit decision list can be written."""
SPLITPIN = "splitpin"
"""Under this key stands what the form itself has no words for."""


class Media(NamedTuple):
    """The files that the clips show and sound."""

    film: str
    """The made film, a path from where the timeline lies, with ``/``."""
    film_starts: int
    """The time code of the film's first frame in it, in frames."""
    sounds: Mapping[str, str]
    """The path of each sound, by the name the cues use."""
    lengths: Mapping[str, int]
    """How many samples each sound has."""


def timeline_of(title: str, assembly: Assembly, media: Media, timecode: str) -> Any:
    """The film as a timeline of the library ``opentimelineio``.

    Scenes are clips of the film's own file, panels are markers in them, sounds are clips of their files to
    the sample. How loud and where a sound is heard, and its fades, stand in the clip's metadata.

    Parameters
    ----------
    title
        What it is called.
    assembly
        What is seen and heard.
    media
        The files.
    timecode
        The label of the first frame.
    """
    rate = float(assembly.rate)
    start = RationalTime(frame_of(timecode, assembly.rate), rate)
    timeline = otio.schema.Timeline(title, global_start_time=start)
    picture = otio.schema.Track("picture", kind=otio.schema.TrackKind.Video)
    picture.extend([_scene(scene, assembly, media) for scene in assembly.scenes])
    timeline.tracks.append(picture)
    numbers: dict[str, int] = {}
    for track in assembly.tracks:
        numbers[track.kind] = numbers.get(track.kind, 0) + 1
        timeline.tracks.append(_track(f"{track.kind} {numbers[track.kind]}", track, media))
    return timeline


def write_otio(timeline: Any) -> bytes:
    """A timeline as OpenTimelineIO's JSON."""
    return _text(otio.adapters.write_to_string(timeline, "otio_json", indent=2))


def write_edl(title: str, assembly: Assembly, media: Media, timecode: str) -> bytes:
    """The picture of the film as a CMX 3600 list: scenes and panels, nothing of the sound.

    The form knows neither samples nor more than a few tracks, and its writer no sound at all. The labels are
    of the kind of ``timecode``, drop-frame or not, and the list says which (``FCM``). The parameters are
    those of :func:`timeline_of`.
    """
    drop = ";" in timecode
    # The writer knows drop-frame labels only at 30000/1001. Those without are the labels of the whole rate.
    labelled = assembly if drop else assembly._replace(rate=Fraction(frames_in_label(assembly.rate)))
    timeline = timeline_of(title, labelled, media, timecode)
    picture = otio.schema.Timeline(title)
    track = timeline.video_tracks()[0].deepcopy()
    # The writer counts from nought whatever the timeline says; nothing is written of what nobody sees.
    if timeline.global_start_time.value:
        track.insert(0, otio.schema.Gap(duration=timeline.global_start_time))
    picture.tracks.append(track)
    text = otio.adapters.write_to_string(picture, "cmx_3600", rate=float(labelled.rate))
    head, body = text.split("\n", 1)
    return _text(f"{head}\nFCM: {'DROP FRAME' if drop else 'NON-DROP FRAME'}\n{body}")


def _text(text: str) -> bytes:
    return text.rstrip("\n").encode() + b"\n"


def _scene(scene: SceneClip, assembly: Assembly, media: Media) -> Any:
    rate = float(assembly.rate)

    def span(start: int, frames: int) -> TimeRange:
        return TimeRange(RationalTime(media.film_starts + start, rate), RationalTime(frames, rate))

    film = otio.schema.ExternalReference(quote(media.film), span(0, assembly.frames))
    clip = otio.schema.Clip(scene.name, film, span(scene.start, scene.frames))
    for mark in scene.marks:
        clip.markers.append(otio.schema.Marker(mark.name, span(scene.start + mark.start, mark.frames)))
    return clip


def _track(name: str, track: SoundTrack, media: Media) -> Any:
    made = otio.schema.Track(name, kind=otio.schema.TrackKind.Audio)
    at = 0
    for clip in track.clips:
        if clip.at > at:
            made.append(otio.schema.Gap(duration=_samples(clip.at - at)))
        voicing = clip.voicing
        sound = otio.schema.ExternalReference(
            quote(media.sounds[voicing.source]),
            TimeRange(_samples(0), _samples(media.lengths[voicing.source])),
        )
        told = {
            "kind": voicing.kind,
            "gain_db": voicing.gain,
            "pan": voicing.pan,
            "fade_in_seconds": voicing.fade_in / SAMPLING,
            "fade_out_seconds": voicing.fade_out / SAMPLING,
        }
        heard = TimeRange(_samples(clip.skip), _samples(clip.length))
        made.append(otio.schema.Clip(voicing.source, sound, heard, metadata={SPLITPIN: told}))
        at = clip.end
    return made


def _samples(count: int) -> RationalTime:
    return RationalTime(count, SAMPLING)
