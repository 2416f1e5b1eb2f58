"""A piece that is made again keeps its scale on the table, and its document follows."""

from __future__ import annotations

import contextlib
from pathlib import Path

import tomlkit

from splitpin.cutout.cutout import PPI, CutoutDocument
from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.cutout.recipe import Recipe
from splitpin.folder.mistake import FileError
from splitpin.folder.pictures import measure_picture
from splitpin.folder.save import write_whole
from splitpin.folder.save_set import write_set


def scale_of(file: Path, document: CutoutDocument, mm: float) -> float:
    """How many millimetres on the table one pixel of a piece is. It is asked before the PNG is written anew.

    Parameters
    ----------
    file
        The piece's document; its PNG lies beside it.
    document
        What that says.
    mm
        What it is when the PNG is not there.
    """
    with contextlib.suppress(OSError, FileError):  # it may have been thrown away
        return _otherwise(document) * document.width_mm / measure_picture(file.with_suffix(".png")).width
    return mm


def _otherwise(document: CutoutDocument) -> float:
    """How many times as large a pixel has become since, by the ppi that the recipe says now."""
    recipe = document.recipe
    if not isinstance(recipe, (Recipe, LettersRecipe)) or recipe.sized_at is None:
        return 1.0
    return recipe.sized_at / (recipe.ppi or PPI)


def put_again(
    file: Path,
    png: bytes,
    document: CutoutDocument,
    width_mm: float,
    now: str | None = None,
    at: tuple[int, int] | None = None,
    text: str | None = None,
) -> None:
    """Write a piece anew, and into its document what is another than before: both or neither.

    Parameters
    ----------
    file
        The document.
    png
        The piece, which lies beside it.
    document
        What it said.
    width_mm
        How wide the piece is now: one that was cut wider is wider on the table too.
    now
        The sum of what it was made of; noted only where one was.
    at
        Where it lies in what was split.
    text
        The document with a recipe that was altered; as it lies there when left out.
    """
    recipe = document.recipe
    wider = abs(width_mm - document.width_mm) > 1e-9 * width_mm
    changes: dict[str, object] = {}
    if getattr(recipe, "sha256", None) not in (None, now):
        changes["sha256"] = now
    if _otherwise(document) != 1.0:
        changes["sized_at"] = getattr(recipe, "ppi", None) or PPI
    if at is not None and getattr(recipe, "at", None) != at:
        changes["at"] = list(at)
    target = file.with_suffix(".png")
    if not (wider or changes or text):
        write_whole(target, png)
        return
    words = tomlkit.parse(text or file.read_text(encoding="utf-8-sig"))
    if wider:
        words["width_mm"] = width_mm
    for key, value in changes.items():
        words["recipe"][key] = value
    write_set([(target, png), (file, tomlkit.dumps(words).encode())])
