"""What is heard of a film's cues, and what a person should know of it: the same for a check and a film."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from splitpin.device.soundfile_reader import read_blocks
from splitpin.film.soundtrack import Length, Unheard
from splitpin.folder.kinds import FILM_FILE
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import Mistake
from splitpin.measure.fault import Fault
from splitpin.scene.scene import Cue
from splitpin.sound.source import SILENT_DBFS, SoundError, amplitude


def lengths_of(
    folder: FilmFolder, sounds: Iterable[str], known: Mapping[str, Length]
) -> tuple[dict[str, Length], list[Mistake]]:
    """Listen to sounds from start to end, keeping nothing of them.

    Parameters
    ----------
    folder
        The film folder.
    sounds
        Sounds as cues name them; one that is not there or not good is passed over, since the folder has told.
    known
        The lengths of those that were heard already.
    """
    lengths: dict[str, Length] = dict(known)
    mistakes: list[Mistake] = []
    for sound in dict.fromkeys(sounds):
        if sound not in folder.audible or sound in known:
            continue
        frames, peak = 0, 0.0
        try:
            for block in read_blocks(folder.sound_path(sound), f"sounds/{sound}"):
                frames += len(block)
                peak = max(peak, float(np.abs(block).max(initial=0.0)))
        except SoundError as e:
            mistakes.append(Mistake(f"sounds/{sound}", None, e.found, e.expected, e.remedy))
            continue
        lengths[sound] = Length(frames, peak < amplitude(SILENT_DBFS))
    return lengths, mistakes


def warnings_of(folder: FilmFolder, unheard: Iterable[Unheard]) -> list[Mistake]:
    """What is not heard as it is meant, each on the line of its cue."""
    told: list[Mistake] = []
    for one in unheard:
        file = f"scenes/{one.scene}.toml" if one.scene else FILM_FILE
        document = folder.documents[file]
        cues = folder.scenes[one.scene].cues if one.scene else folder.film.cues
        path = ("cues", _place(one.cue, cues), one.key)
        if one.sound not in folder.audible:
            # The folder has told already which file is not there.
            lines = (document.lines.at(path),)
            told += [m for m in folder.warnings if m.file == file and m.line in lines]
            continue
        found = f"{one.sound} at {float(one.seconds):.2f} s of the film: {one.found}"
        told.append(document.mistake(Fault(path, found, "a sound that is heard as it is meant", one.remedy)))
    return told


def _place(cue: Cue, cues: Sequence[Cue]) -> int:
    return next((i for i, c in enumerate(cues) if c is cue), 0)
