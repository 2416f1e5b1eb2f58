"""Lay a drawing on a card of the board."""

from __future__ import annotations

from pathlib import Path

from splitpin.device.pictures import PictureError, encode_png, read_picture
from splitpin.folder.edit import DELETED, Edit
from splitpin.folder.mistake import FolderError
from splitpin.folder.naming import plain_name
from splitpin.folder.save import write_whole
from splitpin.jobs.board import Card
from splitpin.jobs.together import together

PLACE = "board"
"""The folder of the drawings in a film."""
OPAQUE = 255


def lay_drawing(root: Path, scene: str, panel: str, picture: Path | bytes) -> str:
    """Let a picture be the drawing of a card; gives back its path in the film folder.

    It is kept as PNG under the names of the scene and the card. Whatever drawing the card had under another
    name stays where it is.

    Parameters
    ----------
    root, scene, panel
        The card.
    picture
        A PNG, JPEG, TIFF or WebP picture, or all that such a file holds.

    Raises
    ------
    FolderError
        When there is no such card, or the picture cannot be read.
    """
    card = Card(root, scene, panel)
    try:
        pixels = read_picture(picture)
    except PictureError as problem:
        raise FolderError("the drawing", problem.found, problem.expected, problem.remedy) from problem
    file = f"{PLACE}/{plain_name(scene, 'scene')[:60]}-{plain_name(panel, 'panel')[:60]}.png"
    shared = [
        f"{name}/{one.name}"
        for name, other in card.folder.scenes.items()
        for one in other.panels
        if one.drawing == file and (name, one.name) != (scene, panel)
    ]
    if shared:  # a card that was split off keeps the drawing as it was
        file = f"{file.removesuffix('.png')}-{_next(root, file)}.png"
    clear = bool((pixels[..., 3] < OPAQUE).any())
    write_whole(root / file, encode_png(pixels if clear else pixels[..., :3].copy(), level=6))
    if card.panel.drawing != file:
        together(root, [Edit(card.document, ("panels", card.place, "drawing"), file)])
    return file


def lift_drawing(root: Path, scene: str, panel: str) -> None:
    """Let a card have no drawing; the picture stays in the film's folder.

    Raises
    ------
    FolderError
        When there is no such card.
    """
    card = Card(root, scene, panel)
    if card.panel.drawing is not None:
        together(root, [Edit(card.document, ("panels", card.place, "drawing"), DELETED)])


def _next(root: Path, file: str) -> int:
    number = 2
    while (root / f"{file.removesuffix('.png')}-{number}.png").exists():
        number += 1
    return number
