"""Prints of found pictures, and what the cutting room makes of them by recipe.

A print lies in ``pictures/`` like any picture; a piece that was cut from it, or a picture that was mended,
has its recipe beside it and can be made again from the folder alone, or be cut in another way.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

import cv2
import numpy as np
import numpy.typing as npt
import tomlkit

from splitpin.cutout.cut import cut
from splitpin.cutout.cutout import MM_PER_INCH, CutoutDocument
from splitpin.cutout.mend import mend
from splitpin.cutout.mend_recipe import MendRecipe
from splitpin.cutout.recipe import Recipe
from splitpin.example import coffee, coins
from splitpin.example.paper import Picture

Rgb = npt.NDArray[np.uint8]

STEP = 4
"""Printed tones lie this many 8-bit steps apart: paper grain hides it, and the folder is half as large."""
PACKED = 6
"""How hard PNGs are packed; as the cutting room does, so that what it makes again is the same file."""


class Print(NamedTuple):
    """A print of a found picture."""

    found: str
    make: Callable[[Picture], Picture]
    how: str
    """What was done, for its document."""


PRINTS: dict[str, Print] = {
    "coins-print": Print("coins", coins.sheet, "enlarged, eight coins in copper, silver and gold"),
    "coffee-print": Print("coffee", coffee.cup_print, "enlarged, in the film's inks"),
    "table-print": Print("coffee", coffee.table_print, "enlarged, cropped, in brown, its light evened out"),
}
"""The prints by name."""

CUTS: dict[str, Callable[[], Recipe]] = {
    "coffee": coffee.cup_recipe,
    **{name: partial(coins.recipe, name) for name in coins.COINS},
}
"""What is cut out of prints, by the name of the cut-out."""

MENDED: dict[str, MendRecipe] = {
    "table": MendRecipe(kind="mend", picture="table-print", hole="holes/table.png", seed=3),
}
"""What is mended, by the name of the cut-out."""


def stepped(tones: Rgb) -> Rgb:
    """A picture with its tones :data:`STEP` apart."""
    return np.clip((tones.astype(np.int16) + STEP // 2) // STEP * STEP, 0, 255).astype(np.uint8)


def write_cut(folder: Path, name: str, printed: Rgb) -> None:
    """Cut a piece out of its print; write it and its recipe."""
    recipe = CUTS[name]()
    piece = cut(printed, recipe)
    write_png(folder / "cutouts" / f"{name}.png", piece.rgba)
    width_mm = piece.box[2] * MM_PER_INCH / (recipe.ppi or 1.0)
    _write_document(folder, name, width_mm, recipe)


def write_mended(folder: Path, name: str, printed: Rgb) -> None:
    """Mend the hole in a print; write the hole, the mended picture and its recipe."""
    recipe = MENDED[name]
    height, width = printed.shape[:2]
    hole = coffee.table_hole(height, width) > 0.5
    (folder / "holes").mkdir(exist_ok=True)
    write_png(folder / recipe.hole, np.dstack([np.where(hole, 255, 0).astype(np.uint8)] * 3))
    write_png(folder / "cutouts" / f"{name}.png", mend(printed, hole, seed=recipe.seed))
    _write_document(folder, name, width / coffee.TABLE_PX_PER_MM, recipe)


def write_png(file: Path, picture: Rgb) -> None:
    """Write pixels as the cutting room does, RGB or RGBA."""
    order = cv2.COLOR_RGB2BGR if picture.shape[2] == 3 else cv2.COLOR_RGBA2BGRA
    _, data = cv2.imencode(".png", cv2.cvtColor(picture, order), [cv2.IMWRITE_PNG_COMPRESSION, PACKED])
    file.write_bytes(data.tobytes())


def _write_document(folder: Path, name: str, width_mm: float, recipe: Recipe | MendRecipe) -> None:
    document = CutoutDocument(format=1, width_mm=width_mm, picture=recipe.picture, recipe=recipe)
    words: dict[str, Any] = {"format": 1} | document.model_dump(mode="json", exclude_defaults=True)
    words["recipe"] = {"kind": recipe.kind} | words["recipe"]
    # the recipe is a table: it comes last
    text = tomlkit.dumps(dict(sorted(words.items(), key=lambda item: item[0] == "recipe")))
    (folder / "cutouts" / f"{name}.toml").write_text(text, encoding="utf-8", newline="\n")
