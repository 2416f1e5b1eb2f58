"""What a panel of the board looks like: its drawing, else how its pieces lie in its middle."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from splitpin.film.segments import Exposure
from splitpin.frames.canvas import Canvas
from splitpin.jobs.ready import Ready
from splitpin.jobs.shop import Shop
from splitpin.scene.scene import Panel
from splitpin.sheet.sheet import Row, Sheet

MARK = "panel:"
"""How the names of such pictures begin; no file of a film is called so."""


def is_sight(name: str) -> bool:
    """Whether a picture's name was given by :func:`sight_of`."""
    return name.startswith(MARK)


def sight_of(film: Ready, scene: str, panel: str) -> str:
    """The name of a panel's picture; empty when it has no drawing and nothing lies on the table."""
    document, _, row = _found(film, scene, panel)
    return f"{MARK}{scene}:{panel}" if document.drawing or row.placed else ""


def seen(shop: Shop, name: str) -> NDArray[np.uint8]:
    """The picture of that name: uint8 (height, width, 3) of the film's size, sRGB."""
    scene, panel = name.removeprefix(MARK).split(":", 1)
    document, sheet, row = _found(shop.ready, scene, panel)
    if document.drawing:
        return shop.still(Exposure(row, "board", document.drawing), sheet.paper)
    canvas = Canvas(shop.stage, shop.pictures, shop.film.look, sheet.paper, shop.shadows)
    canvas.draw(row.placed, row.view)
    return canvas.rgb.copy()


def _found(film: Ready, scene: str, panel: str) -> tuple[Panel, Sheet, Row]:
    document = next(one for one in film.folder.scenes[scene].panels if one.name == panel)
    sheet = next(one for one in film.sheets if one.scene == scene)
    rows = [row for row in sheet.rows if row.panel == panel]
    return document, sheet, rows[len(rows) // 2]
