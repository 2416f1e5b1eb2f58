"""What lies ahead of a film: everything on the table that will go wrong, told before it is shot."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.cutout import CutoutDocument
from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.device.pictures import read_picture
from splitpin.film.silence import heard_in
from splitpin.folder.crossing import cutouts_in
from splitpin.folder.load import FilmFolder
from splitpin.frames.uncovered import Uncovered
from splitpin.jobs.check import Checked
from splitpin.sheet.forecast import forecast
from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.sheet import Sheet


class Progress(Protocol):
    """Told what is looked at."""

    def __call__(self, words: str, number: int, total: int, /) -> None:
        """Of so many scenes, this one now."""


class Ahead(NamedTuple):
    """Something foreseen, on the film's clock."""

    foreseen: Foreseen
    film_frame: int
    """Counted from the start of the film."""

    def as_data(self) -> dict[str, object]:
        """As other programs are told; the place is left, bottom, right and top, mm on the table."""
        return self.foreseen._asdict() | {
            "figures": dict(self.foreseen.figures),
            "film_frame": self.film_frame,
        }


def look_ahead(found: Checked, progress: Progress | None = None) -> tuple[Ahead, ...]:
    """Look at every exposure of a film, as it will lie on the table.

    What a check tells as a warning (voices without mouths, sounds past the end, words gone too soon, pictures
    enlarged past their detail) is not told again.

    Parameters
    ----------
    found
        The film, looked through; while it has mistakes nothing is foreseen.
    progress
        Told of each scene before it is looked at.
    """
    if found.folder is None or found.sheets is None or found.mistakes:
        return ()
    folder = found.folder
    sheets = [found.sheets.sheets[name] for name in folder.film.scenes]
    alphas = _alphas(folder, sheets)
    words, kept = _words(folder), _kept(folder)
    heard = heard_in(sheets, folder.film.cues, folder.film.exact_rate, found.lengths)
    told: list[Ahead] = []
    for n, (sheet, start) in enumerate(zip(sheets, _starts(sheets), strict=True)):
        if progress is not None:
            progress(f"looking ahead in {sheet.scene}", n + 1, len(sheets))
        known = Known(
            sheet, folder.scenes[sheet.scene], folder.film.stage, folder.figures(sheet.scene), folder.cutouts,
            alphas, Uncovered(folder.film.stage, alphas), heard[n], words, kept,
            folder.film.forecast,
        )  # fmt: skip
        found_here = forecast(known)
        told += [Ahead(one, start + one.frame) for one in found_here]
        # What lies loose is told of once.
        kept |= {c for one in found_here for c in str(one.figures.get("cutouts", "")).split(", ")}
    return tuple(sorted(told, key=lambda one: one.film_frame))


def _starts(sheets: Sequence[Sheet]) -> list[int]:
    return list(accumulate((sheet.frames for sheet in sheets), initial=0))[:-1]


def _alphas(folder: FilmFolder, sheets: Sequence[Sheet]) -> dict[str, NDArray[np.uint8]]:
    placed = {p.cutout for sheet in sheets for row in sheet.rows for p in row.placed}
    held = {cutout for c in folder.characters.values() for _, cutout in cutouts_in(c)} & set(folder.cutouts)
    return {name: read_picture(folder.cutout_path(name))[..., 3].copy() for name in sorted(placed | held)}


def _words(folder: FilmFolder) -> frozenset[str]:
    """Cut-outs that are words to be read."""
    return frozenset(
        name
        for name in folder.cutouts
        if (document := folder.documents.get(f"cutouts/{name}.toml")) is not None
        and isinstance(document.value, CutoutDocument)
        and isinstance(document.value.recipe, LettersRecipe)
        and document.value.recipe.read
    )


def _kept(folder: FilmFolder) -> frozenset[str]:
    return frozenset(cutout for c in folder.characters.values() for _, cutout in cutouts_in(c))
