"""Bend the joints of a character through their ranges, and tell where they open."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from splitpin.character.figure import Figure
from splitpin.character.gaps import Swept, angles_of, sweep
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import FolderError
from splitpin.jobs.envelope import figure_of
from splitpin.jobs.piece import open_piece
from splitpin.measure.likely import likely


def joints(folder: FilmFolder, name: str, only: Sequence[str] | None = None) -> tuple[Swept, ...]:
    """Look at the joints of a character.

    Parameters
    ----------
    folder
        The film.
    name
        The character.
    only
        Pieces of it that hang on others; all of them when left out.

    Raises
    ------
    FolderError
        When there is no such character or piece, or a cut-out cannot be read.
    """
    figure = figure_of(folder, name)
    hanging = [bone.name for bone in figure.ladder if bone.holder is not None]
    wanted = hanging if only is None else list(dict.fromkeys(only))
    for piece in wanted:
        if piece not in hanging:
            raise FolderError(
                f"characters/{name}.toml", f"no joint of {piece[:80]!r}", "a piece that hangs on another",
                likely(piece, hanging),
            )  # fmt: skip
    alphas = _alphas(folder, figure)
    return tuple(sweep(figure, piece, alphas, angles_of(figure, piece)) for piece in wanted)


def _alphas(folder: FilmFolder, figure: Figure) -> dict[str, NDArray[np.uint8]]:
    shown = {bone.showings[bone.rest].cutout for bone in figure.ladder}
    alphas = {}
    for cutout in shown:
        rgba = open_piece(folder.cutout_path(cutout)).rgba
        alphas[cutout] = rgba[..., 3].copy() if rgba.shape[2] == 4 else np.full(rgba.shape[:2], 255, np.uint8)
    return alphas
