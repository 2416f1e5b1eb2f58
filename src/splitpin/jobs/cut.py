"""Cut a thing out of a found picture, and write the piece with its recipe."""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import NamedTuple

import numpy as np
import tomlkit
from numpy.typing import NDArray

from splitpin.cutout.cut import Cutting, Piece
from splitpin.cutout.cutout import MM_PER_INCH, PPI, CutoutDocument
from splitpin.cutout.doubts import doubts as doubts_of
from splitpin.cutout.recipe import Recipe
from splitpin.device.pictures import encode_png
from splitpin.folder.kinds import CUTOUT, PICTURE
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.naming import refuse_misnamed
from splitpin.folder.save_set import write_set
from splitpin.jobs.found import Found, as_found, find_found, known_ppi
from splitpin.jobs.origin import sum_of, way_to
from splitpin.jobs.output import refuse_output
from splitpin.picture.fit import fitted


class Made(NamedTuple):
    """What was written."""

    piece: Piece
    picture: Path
    recipe: Path
    warnings: tuple[Mistake, ...] = ()
    """What a person should look at."""
    ppi: float = PPI
    """Pixels per inch by which it has its size on the table."""
    ppi_assumed: bool = False
    """Nobody said how finely the picture was scanned."""

    @property
    def holes(self) -> int:
        """How many holes the piece has; they run the other way round than edges do."""
        areas = (x @ np.roll(y, -1) - y @ np.roll(x, -1) for x, y in (loop.T for loop in self.piece.outline))
        return sum(bool(area < 0) for area in areas)


def cut(picture: Path, recipe: Recipe, out: Path, *, again: bool = False) -> Made:
    """Cut from any picture; the recipe is written beside the piece.

    Parameters
    ----------
    picture
        Its file.
    recipe
        What to do; its ``picture`` and, where it says none and the picture's document or file does, its
        ``ppi`` are filled in.
    out
        The piece's PNG; not in a film folder's ``cutouts/``, where its recipe could not be followed.
    again
        Write over a piece and a recipe of that name.

    Raises
    ------
    FolderError, CutError
        When the picture cannot be read, the recipe not followed, or nothing written.
    """
    found = find_found(picture)
    refuse_output(out, [".png"], again=again, used=[found.path])
    refuse_output(out.with_suffix(".toml"), [".toml"], again=again)
    recipe = recipe.model_copy(update={"picture": way_to(picture, out.parent)})
    return _made(found, recipe, out, None)


def cut_into(
    root: Path,
    picture: str,
    recipe: Recipe,
    name: str,
    writing: AbstractContextManager[object] | None = None,
    *,
    again: bool = False,
) -> Made:
    """Cut from a picture of a film folder into its cut-outs.

    Parameters
    ----------
    root
        The film folder.
    picture
        A name in ``pictures/``.
    recipe
        As for :func:`cut`.
    name
        The cut-out's.
    writing
        Entered when the piece is cut and the writing begins.
    again
        Write over a cut-out of that name.

    Raises
    ------
    FolderError, CutError
        When the name is none, or taken; and as for :func:`cut`.
    """
    found = find_found(root, picture)
    out = place_of_cutout(root, name, again=again)
    return _made(found, recipe.model_copy(update={"picture": picture}), out, picture, writing)


def place_of_cutout(root: Path, name: str, *, again: bool) -> Path:
    """Where the picture of a new cut-out goes.

    Raises
    ------
    FolderError
        When documents could not name it, or one of that name is there and not to be written ``again``.
    """
    refuse_misnamed("--name", name)
    out = root / CUTOUT.place / f"{name}.png"
    if not again and (out.exists() or out.with_suffix(".toml").exists()):
        raise FolderError(
            f"{CUTOUT.place}/{name}.png",
            "a cut-out of that name",
            "a new name",
            "name another, or say --again to write over it",
        )
    return out


def named(root: Path, picture: Path) -> str:
    """The name of a picture of a film folder, given that name or its file."""
    if picture.resolve().parent == (root / PICTURE.place).resolve() and picture.is_file():
        return picture.stem
    if picture.is_file():
        raise FolderError(
            str(picture),
            "a picture outside the film folder",
            "one in pictures/",
            "bring it in: splitpin bring",
        )
    return str(picture)


def _made(
    found: Found,
    recipe: Recipe,
    out: Path,
    name: str | None,
    writing: AbstractContextManager[object] | None = None,
) -> Made:
    ppi = known_ppi(found, recipe.ppi)
    recipe = recipe.model_copy(update={"ppi": ppi, "sized_at": ppi or PPI, "sha256": sum_of(found)})
    rgb = opened(found)
    piece = Cutting(rgb).cut(recipe)
    document = CutoutDocument(
        format=1, width_mm=piece.box[2] * MM_PER_INCH / (ppi or PPI), picture=name, recipe=recipe
    )
    words = document.model_dump(mode="json", exclude_defaults=True) | {"format": 1}
    words["recipe"] = {"kind": "cut"} | words["recipe"]
    beside = out.with_suffix(".toml")
    doubts = doubted(rgb, recipe, piece)
    text = tomlkit.dumps(dict(sorted(words.items(), key=_order)))
    with writing or nullcontext():
        write_set([(out, packed(piece)), (beside, text.encode())])
    return Made(piece, out, beside, doubts, ppi or PPI, ppi is None)


def _order(item: tuple[str, object]) -> int:
    return {"format": 0, "recipe": 2}.get(item[0], 1)


def opened(found: Found) -> NDArray[np.uint8]:
    """A found picture as it is cut from: made fit."""
    return fitted(as_found(found), found.document.fit)


def doubted(rgb: NDArray[np.uint8], recipe: Recipe, piece: Piece) -> tuple[Mistake, ...]:
    """What may be wrong with a piece, as warnings."""
    return tuple(Mistake(d.where, None, d.found, d.expected, d.remedy) for d in doubts_of(rgb, recipe, piece))


def packed(piece: Piece) -> bytes:
    """The piece as the bytes of its PNG."""
    return encode_png(piece.rgba, 6)
