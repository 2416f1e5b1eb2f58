"""Look a film folder through and say everything that is wrong with it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from splitpin.folder.gather import in_order
from splitpin.folder.load import FilmFolder, load, nothing_read
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.sheets import Sheets, expose_all
from splitpin.jobs.misfits import misfits
from splitpin.jobs.names import clashes
from splitpin.motion.speak import Speak

if TYPE_CHECKING:
    from collections.abc import Mapping

    from splitpin.film.soundtrack import Length
    from splitpin.jobs.voices import Heard


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
    lengths: Mapping[str, Length] = {}
    """How long its sounds are, where all is well with them."""


def check(root: Path) -> Checked:
    """Look a film folder through: documents, files, figures, scenes, sounds, how far pictures are enlarged.

    Nothing is changed and nothing is raised: where there is no film folder that is the one mistake.
    """
    try:
        folder = load(root)
    except FolderError as problem:
        return Checked((nothing_read(problem),), (), None, None)
    heard = _hear(folder)
    sheets = expose_all(folder, heard.voices if heard else None)
    whole = not folder.mistakes and not sheets.mistakes
    mistakes, warnings, lengths = _listen(folder, sheets, heard, whole=whole)
    mistakes += clashes(folder.film) + misfits(folder.film, folder.film.outlets)
    if whole:
        more, further = _look(folder, sheets, heard)
        mistakes += more
        warnings += further
    return Checked(
        in_order([*folder.mistakes, *sheets.mistakes, *mistakes]),
        in_order([*folder.warnings, *sheets.warnings, *warnings]),
        folder,
        sheets,
        lengths,
    )


# The decoders are fetched only when there is something to decode: a check of words should be instant.


def _hear(folder: FilmFolder) -> Heard | None:
    scenes = folder.scenes.values()
    speaks = any(isinstance(move, Speak) for scene in scenes for move in scene.moves)
    if not speaks and not any(cue.kind == "voice" for scene in scenes for cue in scene.cues):
        return None
    from splitpin.jobs.voices import voices_of

    return voices_of(folder, keep=False)


def _listen(
    folder: FilmFolder, sheets: Sheets, heard: Heard | None, *, whole: bool
) -> tuple[list[Mistake], list[Mistake], Mapping[str, Length]]:
    cues = [*folder.film.cues, *(cue for scene in folder.scenes.values() for cue in scene.cues)]
    sounds = [cue.sound for cue in cues if cue.sound in folder.audible]
    if not sounds:
        return list(heard.mistakes) if heard else [], [], {}
    from splitpin.film.soundtrack import unheard
    from splitpin.jobs.hearing import lengths_of, warnings_of

    lengths, mistakes = lengths_of(folder, sounds, heard.lengths if heard else {})
    if heard:
        mistakes += [m for m in heard.mistakes if m.file not in {told.file for told in mistakes}]
    if not whole or mistakes:
        return mistakes, [], lengths
    film = folder.film
    shown = [sheets.sheets[name] for name in film.scenes]
    return [], warnings_of(folder, unheard(shown, film.cues, film.exact_rate, lengths)), lengths


def _look(folder: FilmFolder, sheets: Sheets, heard: Heard | None) -> tuple[list[Mistake], list[Mistake]]:
    from splitpin.jobs.enlarged import enlarged, warnings_of
    from splitpin.jobs.looking import look

    looked = look(folder, sheets)
    told = looked.warnings + warnings_of(enlarged(folder, sheets, looked.details))
    told += _read(folder, sheets, heard) + _letters(folder, sheets) + _cards(folder, sheets)
    return looked.mistakes, told


def _read(folder: FilmFolder, sheets: Sheets, heard: Heard | None) -> list[Mistake]:
    shown = [sheets.sheets[name] for name in folder.film.scenes]
    if not any(panel.says for sheet in shown for panel in folder.scenes[sheet.scene].panels):
        return []
    from splitpin.jobs.captions import warnings_of_captions

    return warnings_of_captions(folder, shown, heard.voices if heard else None)


def _cards(folder: FilmFolder, sheets: Sheets) -> list[Mistake]:
    from splitpin.jobs.cards import shown_of, warnings_of_cards

    shown = {name: shown_of(folder, sheets.sheets[name]) for name in folder.film.scenes}
    return [told for name, its in shown.items() for told in warnings_of_cards(folder, name, its)]


def _letters(folder: FilmFolder, sheets: Sheets) -> list[Mistake]:
    from splitpin.jobs.lettering import warnings_of_fonts, warnings_of_lettering

    shown = [sheets.sheets[name] for name in folder.film.scenes]
    return warnings_of_lettering(folder, shown) + warnings_of_fonts(folder, shown)
