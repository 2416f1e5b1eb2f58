"""Scenes that snap to the beats of a sound, with what its document and its file tell."""

from __future__ import annotations

from fractions import Fraction
from pathlib import PurePosixPath

from splitpin.film.beats import Moved, Music, plays, snap
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import FileError
from splitpin.folder.sounds import measure_sound
from splitpin.measure.fault import Fault
from splitpin.scene.scene import Scene
from splitpin.sheet.timing import time_panels
from splitpin.voice.document import VoiceDocument

TELL = Fraction(1, 4)
"""Beats: a panel that moves farther than this is told of."""


def keep_time(folder: FilmFolder, scene: Scene, start: int | None) -> tuple[Scene, list[Fault]]:
    """A scene with its panels on the beats of the sound it snaps to; as it is where it snaps to none.

    Parameters
    ----------
    folder
        The film folder.
    scene
        The scene as it is written.
    start
        The frame of the film on which it starts; None when it is not in the film.

    Returns
    -------
    tuple
        The scene, and what a person should know, with its place in the scene's document.
    """
    rate = folder.film.exact_rate
    if scene.snap is None or time_panels(scene.panels, rate, 1)[1]:
        return scene, []
    cues = [cue for cue in folder.film.cues if cue.sound == scene.snap and start is not None]
    document = document_of(folder, scene.snap)
    if document is None or (document.tempo is None and not document.beats):
        what = "nothing tells where its beats fall"
        return scene, [_unsnapped(scene.snap, what, f"splitpin beats sounds/{scene.snap} --write")]
    if not plays(scene, cues):
        return scene, [_unsnapped(scene.snap, "no cue plays it here", "play it in the scene or in film.toml")]
    snapped = snap(scene, Music(document, _length(folder, scene.snap)), rate, cues, start)
    return snapped.scene, [_far(moved, rate) for moved in snapped.moved if moved.beats > TELL]


def document_of(folder: FilmFolder, sound: str) -> VoiceDocument | None:
    """What is known of a sound as cues name it."""
    return folder.sounds.get(sound) or folder.sounds.get(PurePosixPath(sound).stem)


def _length(folder: FilmFolder, sound: str) -> Fraction | None:
    try:
        size = measure_sound(folder.sound_path(sound))
    except (FileError, OSError):
        return None  # that it is not there or not good is told where it is played
    return Fraction(size.samples, size.sampling) if size.samples and size.sampling else None


def _unsnapped(sound: str, found: str, remedy: str) -> Fault:
    return Fault(("snap",), f"{sound}: {found}", "a sound that is played and whose beats are known", remedy)


def _far(moved: Moved, rate: Fraction) -> Fault:
    frames = abs(moved.frames)
    way = "later" if moved.frames > 0 else "earlier"
    many = "1 frame" if frames == 1 else f"{frames} frames"
    found = f"it ends {many} ({float(frames / rate):.2f} s) {way} than it is written, on a beat"
    return Fault(("panels", moved.panel), found, "an end near a beat", "see whether it is long enough so")
