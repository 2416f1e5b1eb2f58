"""Words in a film that cannot be read: gone too soon, too near the edge, or in letters the font lacks."""

from __future__ import annotations

from collections.abc import Sequence
from unicodedata import normalize

from splitpin.cutout.cutout import CutoutDocument
from splitpin.cutout.letters import lacking, runs_backwards
from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.cutout.mistake import CutError
from splitpin.film.lettering_checks import unreadable
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.jobs.letter import font_of, warnings_of_set
from splitpin.measure.fault import Fault
from splitpin.sheet.sheet import Sheet


def warnings_of_lettering(folder: FilmFolder, sheets: Sequence[Sheet]) -> list[Mistake]:
    """What cannot be read, each on the line of its member of the cast."""
    letters = _recipes(folder)
    told: list[Mistake] = []
    film = folder.film
    for sheet in sheets if letters else ():
        document = folder.documents[f"scenes/{sheet.scene}.toml"]
        for one in unreadable(sheet, film.stage, folder.cutouts, letters, film.captions):
            path = ("cast", one.who) if one.who in folder.scenes[sheet.scene].cast else ("background",)
            told.append(document.mistake(Fault(path, one.found, one.expected, one.remedy)))
    return told


def warnings_of_fonts(folder: FilmFolder, sheets: Sequence[Sheet]) -> list[Mistake]:
    """What the fonts of cut-outs of words cannot show, each once, on its document."""
    placed = {p.cutout for sheet in sheets for row in sheet.rows for p in row.placed}
    told: list[Mistake] = []
    for name, recipe in _recipes(folder).items():
        if name not in placed or (recipe.font is None and recipe.text.isascii()):
            continue
        file = f"cutouts/{name}.toml"
        try:
            missing = lacking(normalize("NFC", recipe.text), font_of(recipe, folder.root))
        except (FolderError, CutError) as e:
            told.append(Mistake(file, None, f"{recipe.font}: {e.found}", e.expected, e.remedy))
            continue
        told += warnings_of_set(file, missing, backwards=runs_backwards(recipe.text))
    return told


def _recipes(folder: FilmFolder) -> dict[str, LettersRecipe]:
    return {
        name: document.value.recipe
        for name in folder.cutouts
        if (document := folder.documents.get(f"cutouts/{name}.toml")) is not None
        and isinstance(document.value, CutoutDocument)
        and isinstance(document.value.recipe, LettersRecipe)
    }
