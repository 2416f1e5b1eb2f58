"""Pictures of exposures that are not drawn: shot frames, board drawings, cards."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from splitpin.device.pictures import PictureError, read_picture
from splitpin.film.segments import Exposure
from splitpin.folder.mistake import FolderError
from splitpin.frames.standin import card, fit
from splitpin.measure.table import Stage


@cache
def card_font() -> bytes:
    """The font of the cards, with the letters of most European languages: Latin, Greek, Cyrillic.

    It comes with splitpin, so that a card is the same on every computer.
    """
    return (files("splitpin.device") / "fonts" / "DejaVuSans.ttf").read_bytes()


class Stills:
    """Reads or makes them, at the size of the film's picture.

    Parameters
    ----------
    root
        The film folder.
    stage
        The size.
    """

    def __init__(self, root: Path, stage: Stage) -> None:
        self._root, self._stage = root, stage

    def __call__(self, exposure: Exposure, paper: str) -> NDArray[np.uint8]:
        """The picture of an exposure, uint8 (height, width, 3), sRGB; beside it the table's paper.

        Raises
        ------
        FolderError
            When its file can no longer be read.
        """
        if exposure.kind == "card":
            return card(self._stage, *exposure.words, font=card_font())
        try:
            return fit(read_picture(self._root / exposure.file), self._stage, paper)
        except PictureError as problem:
            raise FolderError(exposure.file, str(problem), "a picture", "save or copy it again") from problem
