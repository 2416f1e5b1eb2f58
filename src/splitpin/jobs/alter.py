"""Change the recipe of a cut-out and make the piece again: it keeps its scale, its document its words."""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import Any

from splitpin.cutout.cut import Cutting
from splitpin.cutout.cutout import MM_PER_INCH, PPI
from splitpin.cutout.recipe import Recipe
from splitpin.folder.edit import DELETED, Edit, changed
from splitpin.folder.kinds import CUTOUT
from splitpin.folder.mistake import FolderError
from splitpin.jobs.cut import Made, doubted, opened, packed
from splitpin.jobs.origin import origin_of, sum_of
from splitpin.jobs.recut import read_recipe
from splitpin.jobs.remade import put_again, scale_of

DRAWN = ("loop", "box", "edge", "knife", "keep", "drop", "ink_mm")
"""What of a recipe a hand draws or chooses; the rest stays as it was."""


def alter(
    root: Path, name: str, recipe: Recipe, writing: AbstractContextManager[object] | None = None
) -> Made:
    """Cut a cut-out of a film folder anew by what was drawn since.

    Its size on the table follows from its old scale, and comments in its document are kept.

    Parameters
    ----------
    root
        The film folder.
    name
        The cut-out; its document has a recipe for cutting.
    recipe
        What is drawn now; where its picture is, and how fine, stays as the document says.
    writing
        Entered when the piece is cut and the writing begins.

    Raises
    ------
    FolderError, CutError
        When it was not cut out of a picture, something cannot be read or written, or the recipe not followed.
    """
    file = root / CUTOUT.place / f"{name}.toml"
    document = read_recipe(file)
    before = document.recipe
    if not isinstance(before, Recipe):
        raise FolderError(
            str(file), "a piece that was not cut out of a picture", "one that was",
            "alter what it was made of",
        )  # fmt: skip
    now = before.model_copy(update={key: getattr(recipe, key) for key in DRAWN})
    found = origin_of(file, before.picture)
    rgb = opened(found)
    piece = Cutting(rgb).cut(now)
    warnings = doubted(rgb, now, piece)
    with writing or nullcontext():
        mm = scale_of(file, document, MM_PER_INCH / (now.ppi or PPI))
        text = _words(file, before, now)
        put_again(file, packed(piece), document, piece.box[2] * mm, sum_of(found), None, text)
    return Made(piece, file.with_suffix(".png"), file, warnings, MM_PER_INCH / mm, now.ppi is None)


def _words(file: Path, before: Recipe, now: Recipe) -> str:
    text: str | None = file.read_text(encoding="utf-8-sig")
    told: dict[str, Any] = now.model_dump(mode="json", exclude_defaults=True)
    for key in DRAWN:
        if getattr(now, key) == getattr(before, key):
            continue
        if key in told or key in before.model_fields_set:
            text = changed(Edit(file.name, ("recipe", key), told.get(key, DELETED)), text)
    return text or ""
