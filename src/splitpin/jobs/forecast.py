"""What lies ahead of a film: everything on the table that will go wrong, told before it is shot."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate
from pathlib import Path
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.cutout import CutoutDocument
from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.device.cutouts import CutoutPictures
from splitpin.device.fingerprints import Fingerprints
from splitpin.device.pictures import read_picture, write_png
from splitpin.film.silence import heard_in
from splitpin.folder.crossing import cutouts_in
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import FolderError
from splitpin.frames.canvas import draw_row
from splitpin.frames.ring import oval_of, ringed
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


def pictures_of(found: Checked, told: Sequence[Ahead]) -> Iterator[tuple[str, NDArray[np.uint8]]]:
    """A picture of each thing foreseen: its exposure with a ring round the spot.

    Parameters
    ----------
    found, told
        The film, and what is foreseen of it.

    Yields
    ------
    tuple
        A name, ``SCENE-FRAME-KIND-N`` with the frame in the scene, and uint8 (height, width, 3), sRGB.
    """
    if found.folder is None or found.sheets is None:
        return
    film = found.folder.film
    files = Fingerprints(found.folder.root, "cutouts/{}.png")
    pictures = CutoutPictures(tuple(found.folder.cutouts), files.read)
    named: dict[str, int] = {}
    for one, _ in told:
        sheet = found.sheets.sheets[one.scene]
        row = next(row for row in sheet.rows if row.frame == one.frame)
        rgb = draw_row(row, film.stage, pictures, film.look, sheet.paper)
        if one.box is not None:
            rgb = ringed(rgb, oval_of(one.box, row.view, film.stage))
        name = f"{one.scene}-{one.frame:05d}-{one.kind}"
        named[name] = named.get(name, 0) + 1
        yield (name if named[name] == 1 else f"{name}-{named[name]}"), rgb


def refuse_folder(into: Path) -> None:
    """Refuse a folder for pictures where something is already; it is asked before any work is done.

    Raises
    ------
    FolderError
        When it is no folder, or has something in it.
    """
    try:
        taken = into.exists() and (not into.is_dir() or any(into.iterdir()))
    except OSError as e:
        why = e.strerror or type(e).__name__
        raise FolderError(str(into)[:100], f"it cannot be read ({why})", "a folder", "name another") from None
    if taken:
        raise FolderError(str(into), "it is there already", "a new or an empty folder", "name another")


def write_pictures(found: Checked, told: Sequence[Ahead], into: Path) -> tuple[Path, ...]:
    """Write the picture of each thing foreseen into a folder, which is made when it is not there.

    Raises
    ------
    FolderError
        When it is a folder with other things in it, or cannot be written to.
    """
    refuse_folder(into)
    try:
        into.mkdir(parents=True, exist_ok=True)
        files = []
        for name, rgb in pictures_of(found, told):
            files.append(into / f"{name}.png")
            write_png(files[-1], rgb)
    except OSError as e:
        why = e.strerror or type(e).__name__
        raise FolderError(str(into), f"it cannot be written ({why})", "a folder", "name another") from e
    return tuple(files)


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
