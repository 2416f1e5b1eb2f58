"""A picture of everything that a person should know of a film before shooting, with a ring round the spot."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import accumulate
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from splitpin.device.cutouts import CutoutPictures
from splitpin.device.fingerprints import Fingerprints
from splitpin.device.pictures import write_png
from splitpin.device.stills import Stills
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import FolderError
from splitpin.frames.canvas import draw_row
from splitpin.frames.ring import oval_of, ringed
from splitpin.jobs.cards import shown_of
from splitpin.jobs.check import Checked
from splitpin.jobs.forecast import Ahead
from splitpin.jobs.whereabouts import whereabouts
from splitpin.sheet.sheet import Row, Sheet

Rgb = NDArray[np.uint8]


def pictures_of(found: Checked, told: Sequence[Ahead]) -> Iterator[tuple[str, Rgb]]:
    """A picture of each thing foreseen, then of each warning that has a place in the film.

    Parameters
    ----------
    found, told
        The film, of which nothing is drawn while it has mistakes, and what is foreseen of it.

    Yields
    ------
    tuple
        A name, ``SCENE-FRAME-KIND`` with the frame in the scene, the kind of a warning being ``warning``, and
        a number where there are several; and the exposure, uint8 (height, width, 3), sRGB, with a ring round
        the spot where it is known.
    """
    if found.folder is None or found.sheets is None or found.mistakes:
        return
    folder, sheets = found.folder, found.sheets.sheets
    drawing = _Drawing(folder)
    named: Counter[str] = Counter()

    def called(scene: str, frame: int, kind: str) -> str:
        name = f"{scene}-{frame:05d}-{kind}"
        named[name] += 1
        return name if named[name] == 1 else f"{name}-{named[name]}"

    for one, _ in told:
        row = _row_at(sheets[one.scene], one.frame)
        rgb = drawing.of(sheets[one.scene], row)
        if one.box is not None:
            rgb = ringed(rgb, oval_of(one.box, row.view, folder.film.stage))
        yield called(one.scene, one.frame, one.kind), rgb
    shown = folder.film.scenes
    starts = dict(zip(shown, accumulate((sheets[name].frames for name in shown), initial=0), strict=False))
    for warning in found.warnings:
        where = whereabouts(found, warning)
        if where is not None:
            row = _row_at(sheets[where.scene], where.frame - starts[where.scene])
            yield called(where.scene, row.frame, "warning"), drawing.of(sheets[where.scene], row)


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
    """Write these pictures into a folder, which is made when it is not there.

    Returns
    -------
    tuple of Path
        The files: first those of what is foreseen, in its order.

    Raises
    ------
    FolderError
        When it is a folder with other things in it, or cannot be written to.
    """
    refuse_folder(into)
    files: list[Path] = []
    try:
        into.mkdir(parents=True, exist_ok=True)
        for name, rgb in pictures_of(found, told):
            files.append(into / f"{name}.png")
            write_png(files[-1], rgb)
    except OSError as e:
        why = e.strerror or type(e).__name__
        raise FolderError(str(into), f"it cannot be written ({why})", "a folder", "name another") from e
    return tuple(files)


class _Drawing:
    """Draws exposures as they are planned; where nothing lies on the table, what stands in for them."""

    def __init__(self, folder: FilmFolder) -> None:
        self._folder = folder
        self._pictures = CutoutPictures(
            tuple(folder.cutouts), Fingerprints(folder.root, "cutouts/{}.png").read
        )
        self._still = Stills(Fingerprints(folder.root).read, folder.film.stage)

    def of(self, sheet: Sheet, row: Row) -> Rgb:
        film = self._folder.film
        shown = next(e for e in shown_of(self._folder, sheet) if e.row.frame == row.frame)
        if row.placed or shown.kind == "drawn":
            return draw_row(row, film.stage, self._pictures, film.look, sheet.paper)
        return self._still(shown, sheet.paper)


def _row_at(sheet: Sheet, frame: int) -> Row:
    return sheet.rows[max(0, bisect_right([row.frame for row in sheet.rows], frame) - 1)]
