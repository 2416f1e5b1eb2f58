"""The pictures that a film shows, looked at as it will draw them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

import numpy as np

from splitpin.device.pictures import PictureError, Rgba, prove_picture, read_picture
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import Mistake
from splitpin.folder.sheets import Sheets
from splitpin.folder.takes import best
from splitpin.picture.detail import Detail, detail
from splitpin.sheet.seen import astray


class Looked(NamedTuple):
    """What looking brought to light."""

    details: dict[str, Detail]
    """How fine each cut-out is that is placed."""
    mistakes: list[Mistake]
    warnings: list[Mistake]


def look(folder: FilmFolder, sheets: Sheets) -> Looked:
    """Decode whatever making the film would decode: cut-outs, board drawings, and what was shot.

    A cut-out that lies outside the view is decoded too, since the one who draws learns only from its picture
    that nothing of it shows.
    """
    found = Looked({}, [], [])
    stage = folder.film.stage
    placed = {p.cutout for sheet in sheets.sheets.values() for row in sheet.rows for p in row.placed}
    for cutout in sorted(placed):
        try:
            picture = read_picture(folder.cutout_path(cutout))
        except PictureError as problem:
            found.mistakes.append(_broken(f"cutouts/{cutout}.png", problem))
            continue
        if not np.any(picture[..., 3]):
            found.warnings.extend(_blank(folder, cutout))
            continue
        found.details[cutout] = _detail(folder, cutout, picture)
    for file, path in _others(folder):
        try:
            prove_picture(path)
        except PictureError as problem:
            found.mistakes.append(_broken(file, problem))
    for name, sheet in sheets.sheets.items():
        found.warnings.extend(_astray(folder, name, astray(sheet, stage, folder.cutouts)))
    return found


def _others(folder: FilmFolder) -> Iterator[tuple[str, Path]]:
    drawings = (panel.drawing for scene in folder.scenes.values() for panel in scene.panels)
    for drawing in dict.fromkeys(drawings):
        if drawing is not None:
            yield drawing, folder.drawing_path(drawing)
    for takes in folder.takes.values():
        for take in best(takes).values():
            yield take.file, folder.take_path(take)


def _broken(file: str, problem: PictureError) -> Mistake:
    return Mistake(file, None, problem.found, problem.expected, problem.remedy)


def _blank(folder: FilmFolder, cutout: str) -> list[Mistake]:
    # Nothing at all is a fair way for a piece to look now and then: a mouth that is not there.
    sets = (p.set.values() for c in folder.characters.values() for p in c.pieces.values())
    if any(shown.cutout == cutout for replacements in sets for shown in replacements):
        return []
    return [
        Mistake(
            f"cutouts/{cutout}.png",
            None,
            "all of it is transparent: nothing is seen",
            "a picture of which something shows",
            "cut or save it again",
        )
    ]


def _astray(folder: FilmFolder, scene: str, members: Iterable[str]) -> Iterator[Mistake]:
    document = folder.documents[f"scenes/{scene}.toml"]
    for who in members:
        yield Mistake(
            document.file,
            document.lines.at(("cast", who)),
            f"{who} lies far outside the field all the time and is never seen",
            "a member on the table",
            "look at its x and y, and at its moves, or take it out of the cast",
        )


def _detail(folder: FilmFolder, cutout: str, picture: Rgba) -> Detail:
    document = folder.documents.get(f"cutouts/{cutout}.toml")
    if document is None or getattr(document.value, "picture", None) is None:
        return Detail(1.0, "pixels")
    return detail(picture, _cell(folder, cutout))


def _cell(folder: FilmFolder, cutout: str) -> float | None:
    document = folder.documents.get(f"cutouts/{cutout}.toml")
    says = document.value if document is not None else None
    # only a piece cut by a recipe is known to have the pixels of its picture
    if says is None or getattr(says, "recipe", None) is None:
        return None
    picture = folder.pictures.get(getattr(says, "picture", None) or "")
    cells = [s.cell for s in picture.fit.screens] if picture is not None else []
    return max(cells, default=None)
