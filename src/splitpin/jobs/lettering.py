"""Words in a film that cannot be read: gone too soon, or too near the edge."""

from __future__ import annotations

from collections.abc import Sequence

from splitpin.cutout.cutout import CutoutDocument
from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.film.lettering_checks import unreadable
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import Mistake
from splitpin.measure.fault import Fault
from splitpin.sheet.sheet import Sheet


def warnings_of_lettering(folder: FilmFolder, sheets: Sequence[Sheet]) -> list[Mistake]:
    """What cannot be read, each on the line of its member of the cast."""
    letters = {
        name: document.value.recipe
        for name in folder.cutouts
        if (document := folder.documents.get(f"cutouts/{name}.toml")) is not None
        and isinstance(document.value, CutoutDocument)
        and isinstance(document.value.recipe, LettersRecipe)
    }
    told: list[Mistake] = []
    film = folder.film
    for sheet in sheets if letters else ():
        document = folder.documents[f"scenes/{sheet.scene}.toml"]
        for one in unreadable(sheet, film.stage, folder.cutouts, letters, film.captions):
            path = ("cast", one.who) if one.who in folder.scenes[sheet.scene].cast else ("background",)
            told.append(document.mistake(Fault(path, one.found, one.expected, one.remedy)))
    return told
