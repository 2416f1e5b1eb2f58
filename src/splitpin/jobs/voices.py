"""The recorded voices of a film, heard once and kept."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple
from zipfile import BadZipFile

import numpy as np

from splitpin.device.beside import beside
from splitpin.device.fingerprints import Fingerprints
from splitpin.film.soundtrack import Length
from splitpin.folder.keep_time import document_of
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.motion.speak import Speak
from splitpin.sound.source import SILENT_DBFS, SoundError, amplitude
from splitpin.voice.document import VoiceDocument
from splitpin.voice.speech import Speech, speech_of
from splitpin.voice.track import Track

VOICES = "voices"
"""The folder in ``made/`` where tracks are kept."""
HEARING = 2
"""Counts changes to how a track is heard: raise it and every voice is heard again."""


class Heard(NamedTuple):
    """The voices of a film."""

    voices: dict[str, Speech]
    """What is known of each, by its file as cues and moves name it."""
    lengths: dict[str, Length]
    """How long each is, so that nobody needs to hear it again for that."""
    mistakes: tuple[Mistake, ...]
    """What is wrong with those that cannot be heard."""
    files: tuple[str, ...]
    """Their files in ``made/voices/``."""


NOTHING = Heard({}, {}, (), ())
"""Of a film in which nobody speaks."""


def voices_of(folder: FilmFolder, *, keep: bool) -> Heard:
    """Hear every voice that a mouth speaks, and every one of which the words are known.

    Parameters
    ----------
    folder
        The film folder.
    keep
        Whether what is heard now is kept in ``made/``; what is there already is taken in any case.
    """
    heard = Heard({}, {}, (), ())
    prints = Fingerprints(folder.root, "sounds/{}")
    mistakes, files = [], []
    for sound in dict.fromkeys(_wanted(folder)):
        if sound not in folder.audible:
            continue  # the folder has told already what is the matter with it
        where = f"sounds/{sound}"
        file = folder.root / "made" / VOICES / f"{HEARING}-{prints[sound]}.npz"
        try:
            track, peak = _track(folder.sound_path(sound), where, file, keep=keep)
        except (SoundError, FolderError) as e:
            mistakes.append(Mistake(where, None, e.found, e.expected, e.remedy))
            continue
        files.append(file.name)
        document = document_of(folder, sound) or VoiceDocument(format=1)
        if not document.words.strip():
            document = document.model_copy(update={"words": line_of(folder, sound)})
        heard.voices[sound] = speech_of(track, document)
        heard.lengths[sound] = Length(track.samples, peak < amplitude(SILENT_DBFS))
    return heard._replace(mistakes=tuple(mistakes), files=tuple(files))


def _wanted(folder: FilmFolder) -> Iterator[str]:
    for scene in folder.scenes.values():
        yield from (move.sound for move in scene.moves if isinstance(move, Speak))
        for cue in scene.cues:
            document = document_of(folder, cue.sound)
            known = document is not None and document.words.strip()
            if cue.kind == "voice" and (known or line_of(folder, cue.sound)):
                yield cue.sound


def line_of(folder: FilmFolder, sound: str) -> str:
    """The line of the panel in which a voice is heard; nothing where it is heard in none, or in several."""
    lines: set[str] = set()
    for scene in folder.scenes.values():
        panels = {panel.name: panel.says for panel in scene.panels}
        voices = [cue for cue in scene.cues if cue.kind == "voice" and cue.event is None]
        of_panel = Counter(cue.panel or scene.panels[0].name for cue in voices)
        for cue in voices:
            panel = cue.panel or scene.panels[0].name
            if cue.sound == sound:
                # Of several voices in a panel nobody knows which of them says its line.
                lines.add(panels.get(panel, "") if of_panel[panel] == 1 else "")
    return lines.pop().strip() if len(lines) == 1 else ""


def _track(path: Path, where: str, kept: Path, *, keep: bool) -> tuple[Track, float]:
    # A file that breaks off or is of another shape is as good as none.
    with suppress(OSError, ValueError, KeyError, BadZipFile), np.load(kept, allow_pickle=False) as there:
        curves = [there[name] for name in Track._fields[1:]]
        return Track(int(there["samples"]), *curves), float(there["peak"])
    from splitpin.jobs.read import listen

    track, peak = listen(path, where)
    if keep:
        # A folder that cannot be written to can be read nevertheless.
        with suppress(OSError), beside(kept) as part, part.open("wb") as file:
            np.savez(file, peak=peak, **track._asdict())
    return track, peak
