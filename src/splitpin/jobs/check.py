"""Look a film folder through and say everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from splitpin.folder.gather import in_order
from splitpin.folder.kinds import FILM_FILE
from splitpin.folder.load import FilmFolder, load
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.sheets import Sheets, expose_all
from splitpin.measure.fault import Fault
from splitpin.scene.scene import Cue

SILENT = 10 ** (-80 / 20)
"""A sound that never rises above -80 dBFS is silent: under the noise of any room [common practice]."""


class Checked(NamedTuple):
    """A film folder, looked through."""

    mistakes: tuple[Mistake, ...]
    """What must be put right before the film can be made."""
    warnings: tuple[Mistake, ...]
    """What a person should know."""
    folder: FilmFolder | None
    """The folder; None when there is none to speak of."""
    sheets: Sheets | None
    """Its scenes, exposed."""


def check(root: Path) -> Checked:
    """Look a film folder through: documents, files, figures, scenes, sounds, how far pictures are enlarged.

    Nothing is changed and nothing is raised: where there is no film folder that is the one mistake.
    """
    try:
        folder = load(root)
    except FolderError as e:
        mistake = Mistake(FILM_FILE, None, f"{e.found} ({e.where})", e.expected, e.remedy)
        return Checked((mistake,), (), None, None)
    sheets = expose_all(folder)
    mistakes, warnings = _listen(folder)
    if not folder.mistakes and not sheets.mistakes:
        from splitpin.jobs.enlarged import enlarged, warnings_of

        warnings += warnings_of(enlarged(folder, sheets))
    return Checked(
        in_order([*folder.mistakes, *sheets.mistakes, *mistakes]),
        in_order([*folder.warnings, *sheets.warnings, *warnings]),
        folder,
        sheets,
    )


def _listen(folder: FilmFolder) -> tuple[list[Mistake], list[Mistake]]:
    # The decoder is fetched only when there is something to decode: a check of words should be instant.
    mistakes: list[Mistake] = []
    warnings: list[Mistake] = []
    broken = {m.file for m in folder.mistakes}
    heard: set[str] = set()
    for file, i, cue in _cues(folder):
        sound = f"sounds/{cue.sound}"
        if sound in heard or sound in broken or not folder.sound_path(cue.sound).is_file():
            continue
        heard.add(sound)
        from splitpin.device.soundfile_reader import read_blocks
        from splitpin.sound.source import SoundError

        try:
            loud = any(
                float(abs(block).max(initial=0.0)) > SILENT
                for block in read_blocks(folder.sound_path(cue.sound))
            )
        except SoundError as e:
            mistakes.append(Mistake(sound, None, e.found, e.expected, e.remedy))
            continue
        if not loud:
            fault = Fault(("cues", i, "sound"), f"{sound} is silent", "something to hear", "listen to it")
            warnings.append(folder.documents[file].mistake(fault))
    return mistakes, warnings


def _cues(folder: FilmFolder) -> Iterator[tuple[str, int, Cue]]:
    if FILM_FILE in folder.documents:
        for i, cue in enumerate(folder.film.cues):
            yield FILM_FILE, i, cue
    for name, scene in folder.scenes.items():
        for i, cue in enumerate(scene.cues):
            yield f"scenes/{name}.toml", i, cue
