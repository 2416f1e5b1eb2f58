"""Where in the film a cut-out is enlarged past the detail it has."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from splitpin.folder.load import FilmFolder, load
from splitpin.folder.mistake import Mistake
from splitpin.folder.sheets import Sheets, expose_all
from splitpin.jobs.looking import look
from splitpin.jobs.voices import voices_of
from splitpin.picture.detail import Detail, enlargement
from splitpin.sheet.seen import Sight, sights

WHY = {
    "pixels": "it has no more pixels",
    "sharpness": "it is no sharper",
    "screen": "its print carries no more",
}


class Enlarged(NamedTuple):
    """A cut-out that is enlarged past its detail, where that is worst."""

    scene: str
    cutout: str
    frame: int
    """The first frame of the scene on which it is."""
    panel: str
    factor: float
    """The most it is enlarged past its detail: pixels of the frame to one real pixel."""
    by: str
    """What sets its detail: ``pixels``, ``sharpness`` or ``screen``."""
    elsewhere: int
    """In how many other scenes it is, too."""


def enlarged(folder: FilmFolder, sheets: Sheets, details: Mapping[str, Detail]) -> list[Enlarged]:
    """Find cut-outs enlarged past their detail by more than the film's ``enlarge``.

    The detail of what was cut from a found picture is measured in the cut-out, and the screen that the
    picture was printed with counts too. What was drawn or painted is as sharp as its maker wanted: there
    only the pixels count.
    """
    film = folder.film
    found: dict[str, list[Enlarged]] = {}
    for scene, sheet in sheets.sheets.items():
        seen: dict[str, list[Sight]] = {}
        for sight in sights(sheet, film.stage, folder.cutouts):
            seen.setdefault(sight.cutout, []).append(sight)
        for cutout, places in seen.items():
            holds = details.get(cutout)
            if holds is None:
                continue
            past = [s for s in places if enlargement(s.scale, holds.pitch) > film.enlarge]
            if past:
                most = max(enlargement(s.scale, holds.pitch) for s in past)
                first = past[0]
                found.setdefault(cutout, []).append(
                    Enlarged(scene, cutout, first.frame, first.panel, most, holds.by, 0)
                )
    worst = [max(places, key=lambda e: e.factor) for places in found.values()]
    return [e._replace(elsewhere=len(found[e.cutout]) - 1) for e in worst]


def enlarged_of(root: Path, picture: str) -> list[Enlarged]:
    """The cut-outs of one found picture of a film folder that are enlarged past their detail.

    Raises
    ------
    FolderError
        When there is no film folder.
    """
    folder = load(root)
    sheets = expose_all(folder, voices_of(folder, keep=False).voices)
    names = {name: folder.documents.get(f"cutouts/{name}.toml") for name in folder.cutouts}
    own = {n for n, d in names.items() if d is not None and getattr(d.value, "picture", None) == picture}
    details = look(folder, sheets).details
    return enlarged(folder, sheets, {name: found for name, found in details.items() if name in own})


def warnings_of(found: list[Enlarged]) -> list[Mistake]:
    """The same as warnings."""
    return [
        Mistake(
            f"scenes/{e.scene}.toml",
            None,
            f"{e.cutout} is enlarged {e.factor:.1f} times past its detail from frame {e.frame} on "
            f"(panel {e.panel}){_others(e.elsewhere)}: {WHY[e.by]}",
            "a picture with a pixel of detail for each pixel of the frame",
            "scan it finer, show it smaller, or let it be soft",
        )
        for e in found
    ]


def _others(count: int) -> str:
    return f", and in {count} other scene{'s' if count > 1 else ''}" if count else ""
