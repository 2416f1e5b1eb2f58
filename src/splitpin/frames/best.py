"""Which picture an exposure shows: the best that exists."""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal, NamedTuple

Kind = Literal["shot", "drawn", "board", "card"]


class Best(NamedTuple):
    """The best picture there is."""

    kind: Kind
    """``shot`` under the camera, ``drawn`` from the sheet, the panel's ``board`` drawing, or a ``card`` with
    its words."""
    frame: int | None = None
    """The shot frame; None for the others."""


def best(frame: int, shots: Collection[int], has_pieces: bool, has_drawing: bool) -> Best:
    """A shot frame over a drawn one, that over the board, that over a card.

    Parameters
    ----------
    frame
        The first frame of the exposure in its scene.
    shots
        The frames of the scene that have been shot.
    has_pieces
        Whether anything lies on the table.
    has_drawing
        Whether the panel has a board drawing.

    >>> best(4, {0, 2}, has_pieces=False, has_drawing=True)
    Best(kind='board', frame=None)
    """
    if frame in shots:
        return Best("shot", frame)
    if has_pieces:
        return Best("drawn")
    return Best("board" if has_drawing else "card")
