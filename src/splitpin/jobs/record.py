"""Record a scratch voice, and put it where it is heard."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import NamedTuple, Protocol

import numpy as np

from splitpin.device.soundfile_reader import read_blocks
from splitpin.device.soundfile_writer import write_sound
from splitpin.folder.edit import Edit, apply
from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError
from splitpin.folder.naming import plain_name
from splitpin.jobs.output import refuse_output
from splitpin.jobs.own_sound import free_name, keep_sound, refuse_no_film
from splitpin.measure.likely import likely
from splitpin.sound.source import SAMPLING, SILENT_DBFS, Sound, amplitude

LICENCE = "LicenseRef-own-recording"


class Recorder(Protocol):
    """Whatever hears: a microphone, or a fake one."""

    def record(self, seconds: float) -> Iterator[Sound]:
        """What is heard for so many seconds, block by block."""


class Kept(NamedTuple):
    """A recording in a film."""

    file: str
    """The sound, as cues name it."""
    seconds: float
    replaced: str | None
    """The earlier recording that is heard no more; it is still there."""


def record_file(recorder: Recorder, seconds: float, file: Path, *, again: bool = False) -> float:
    """Record into a WAV or FLAC file; gives back its seconds.

    Raises
    ------
    FolderError
        When nothing may be written there.
    SoundError
        When nothing can be heard with.
    """
    refuse_output(file, (".wav", ".flac"), again=again)
    sound = _joined(recorder.record(seconds))
    write_sound(file, [sound])
    return len(sound) / SAMPLING


def record_scratch(
    recorder: Recorder, root: Path, scene: str, panel: str, seconds: float | None = None
) -> Kept:
    """Record a line of a panel; see :func:`keep_scratch`. It takes as long as the panel when nothing is said.

    Raises
    ------
    FolderError
        When there is no such panel, or nothing was heard.
    SoundError
        When nothing can be heard with.
    """
    own = _panel_seconds(root, scene, panel)
    return keep_scratch(root, scene, panel, _joined(recorder.record(own if seconds is None else seconds)))


def keep_file(root: Path, scene: str, panel: str, file: Path) -> Kept:
    """Keep what was recorded elsewhere as the line of a panel; see :func:`keep_scratch`.

    Raises
    ------
    FolderError
        When there is no such panel, or nothing is heard.
    SoundError
        When the file cannot be read.
    """
    _panel_seconds(root, scene, panel)
    return keep_scratch(root, scene, panel, _joined(read_blocks(file, "the recording")))


def keep_scratch(root: Path, scene: str, panel: str, sound: Sound, today: date | None = None) -> Kept:
    """Keep a recorded voice in a film, and let it be heard from the start of its panel.

    The file is ``sounds/scratch-SCENE-PANEL.wav``, numbered where that is taken; its document says what it
    is. The cue of an earlier one in that panel becomes the cue of this one, with all that it says else.

    Parameters
    ----------
    root
        The film folder.
    scene, panel
        Where it belongs.
    sound
        Samples of shape ``(n, 2)``, 48 kHz, full scale 1.
    today
        The day to note; today's when left out.

    Raises
    ------
    FolderError
        When there is no such panel, or nothing can be heard in it.
    """
    _panel_seconds(root, scene, panel)
    if sound.ndim != 2 or sound.shape[1] != 2 or not len(sound) or not np.isfinite(sound).all():
        raise FolderError(
            "recording", f"samples of the shape {sound.shape}, or none", "finite ones, (n, 2)", "record anew"
        )
    if float(np.abs(sound).max()) < amplitude(SILENT_DBFS):
        raise FolderError(
            "recording", "silence", "a voice", "see whether the microphone is turned on, and record anew"
        )
    stem = f"scratch-{plain_name(scene, 'scene')[:30]}-{plain_name(panel, 'panel')[:30]}"
    file = keep_sound(
        root,
        free_name(root, stem),
        [sound],
        source=f"scratch voice for {scene}/{panel}, recorded with splitpin",
        date=(today or date.today()).isoformat(),
        licence=LICENCE,
    )
    document = f"scenes/{scene}.toml"
    cues = load(root).scenes[scene].cues
    for i, cue in enumerate(cues):
        if cue.panel == panel and re.fullmatch(rf"{re.escape(stem)}(-\d+)?\.wav", cue.sound):
            apply(root, Edit(document, ("cues", i, "sound"), file))
            return Kept(file, len(sound) / SAMPLING, cue.sound)
    new = {"sound": file, "kind": "voice", "panel": panel}
    apply(
        root,
        Edit(document, ("cues", len(cues)), new, insert=True) if cues else Edit(document, ("cues",), [new]),
    )
    return Kept(file, len(sound) / SAMPLING, None)


def _panel_seconds(root: Path, scene: str, panel: str) -> float:
    refuse_no_film(root)
    folder = load(root)
    if scene not in folder.scenes:
        raise FolderError(
            f"{scene}/{panel}", f"no scene {scene!r}", "SCENE/PANEL", likely(scene, folder.scenes)
        )
    panels = {p.name: p for p in folder.scenes[scene].panels}
    if panel not in panels:
        raise FolderError(f"{scene}/{panel}", f"no panel {panel!r}", "SCENE/PANEL", likely(panel, panels))
    one = panels[panel]
    return one.seconds if one.seconds is not None else float((one.frames or 1) / folder.film.exact_rate)


def _joined(blocks: Iterable[Sound]) -> Sound:
    return np.concatenate([np.zeros((0, 2), dtype=np.float32), *blocks])
