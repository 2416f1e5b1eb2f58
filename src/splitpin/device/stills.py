"""Pictures of exposures that are not drawn: shot frames, board drawings, cards."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib.resources import files

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
    read
        What a file of the film folder holds.
    stage
        The size.
    """

    def __init__(self, read: Callable[[str], bytes], stage: Stage) -> None:
        self._read, self._stage = read, stage

    def __call__(self, exposure: Exposure, paper: str) -> NDArray[np.uint8]:
        """The picture of an exposure, uint8 (height, width, 3), sRGB; beside it the table's paper.

        Raises
        ------
        FolderError
            When its file can no longer be read, or has changed.
        """
        if exposure.kind == "card":
            return card(self._stage, *exposure.words, font=card_font())
        try:
            return fit(read_picture(self._read(exposure.file)), self._stage, paper)
        except PictureError as problem:
            raise FolderError(exposure.file, problem.found, problem.expected, problem.remedy) from problem
