"""Mend a found picture where a piece was cut out of it, or where it is scratched."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import numpy as np
import tomlkit
from numpy.typing import NDArray

from splitpin.cutout.cut import Cutting
from splitpin.cutout.cutout import MM_PER_INCH, CutoutDocument
from splitpin.cutout.mend import mend
from splitpin.cutout.mend_recipe import MendRecipe
from splitpin.cutout.mistake import CutError
from splitpin.cutout.patch import Mask, grown, hole_in, hole_of, patch
from splitpin.cutout.recipe import Recipe
from splitpin.device.found import read_found
from splitpin.device.pictures import encode_png
from splitpin.folder.kinds import CUTOUT
from splitpin.folder.mistake import FolderError
from splitpin.folder.save import write_whole
from splitpin.jobs.cut import place_of_cutout
from splitpin.jobs.found import find_found, open_found
from splitpin.jobs.output import refuse_output
from splitpin.jobs.piece import open_piece
from splitpin.jobs.recut import read_recipe

HOLES = "holes"
"""Where pictures of holes are kept in a film folder."""
BESIDE = 3
"""By how many pixels the hole that a piece leaves is widened, when nobody says."""
PPI = 300.0
"""Taken for a picture of which nobody said how finely it was scanned."""

Rgb = NDArray[np.uint8]
Progress = Callable[[float], None]


class Mending(NamedTuple):
    """What shall be mended, and how."""

    hole: Path | None = None
    """A picture of the hole, as large as the picture: white on black."""
    piece: Path | None = None
    """Or the document of the cut-out that left it."""
    grow: int | None = None
    """By how many pixels the hole is widened; None for a little around a piece, else not at all."""
    seed: int = 0

    @property
    def grown_by(self) -> int:
        """By how many pixels the hole is widened."""
        return self.grow if self.grow is not None else BESIDE if self.piece is not None else 0


class Printed(NamedTuple):
    """A patch to be printed."""

    file: Path
    underlap_mm: float = 3.0
    """How far it reaches under what is around the hole."""
    ppi: float | None = None
    """Pixels per inch of the picture; None where its document or file tells."""


class Mended(NamedTuple):
    """What was mended."""

    picture: Path
    width: int
    height: int
    pixels: int
    """How many were filled."""
    recipe: Path | None = None
    patch: Path | None = None
    patch_box: tuple[int, int, int, int] | None = None
    """Where the patch lies: left, top, width, height in the picture's pixels."""
    patch_mm: tuple[float, float] | None = None
    """Its width and height on paper."""


def mend_file(
    picture: Path,
    out: Path,
    mending: Mending,
    printed: Printed | None = None,
    progress: Progress | None = None,
    *,
    again: bool = False,
) -> Mended:
    """Mend any picture into a new one; the old one stays as it is.

    Files of the new ones' names are written over only ``again``.

    Raises
    ------
    FolderError, CutError
        When something cannot be read or written, or the hole does not fit.
    """
    read = [picture, mending.hole, mending.piece]
    refuse_output(out, [".png"], again=again, used=read)
    if printed is not None:
        refuse_output(printed.file, [".png"], again=again, used=[*read, out])
    rgb = open_found(picture)
    hole = _hole(rgb, mending)
    clean = mend(rgb, hole, seed=mending.seed, progress=progress)
    write_whole(out, encode_png(clean, 6))
    done = Mended(out, rgb.shape[1], rgb.shape[0], int(hole.sum()))
    return done if printed is None else _print(done, clean, hole, printed, _ppi(picture, None))


def mend_into(
    root: Path,
    picture: str,
    name: str,
    mending: Mending,
    printed: Printed | None = None,
    progress: Progress | None = None,
    *,
    again: bool = False,
) -> Mended:
    """Mend a picture of a film folder into a cut-out that can be made again: a background, for example.

    Parameters
    ----------
    root
        The film folder.
    picture
        A name in ``pictures/``.
    name
        The new cut-out's.
    mending
        A piece must be a cut-out of the same folder; a picture of a hole is copied to ``holes/``.
    printed, progress
        As for :func:`mend_file`.
    again
        Write over a cut-out of that name, and over the hole and the patch.

    Raises
    ------
    FolderError, CutError
        When something cannot be read or written, or the hole does not fit.
    """
    found = find_found(root, picture)
    out = place_of_cutout(root, name, again=again)
    holed = None if mending.hole is None else root / HOLES / f"{name}.png"
    if mending.piece is not None and mending.piece.stem == name:
        raise FolderError(
            "--name", f"{name}, the cut-out that left the hole", "a cut-out of its own", "name another"
        )
    if holed is not None and mending.hole is not None and holed.resolve() != mending.hole.resolve():
        refuse_output(holed, [".png"], again=again)
    if printed is not None:
        refuse_output(printed.file, [".png"], again=again, used=[found.path, mending.hole, out, holed])
    if mending.piece is not None and mending.piece.resolve().parent != (root / CUTOUT.place).resolve():
        raise FolderError(
            str(mending.piece), "a recipe outside the film folder", "one in cutouts/", "cut with --into"
        )
    rgb = open_found(root, picture)
    hole = _hole(rgb, mending)
    clean = mend(rgb, hole, seed=mending.seed, progress=progress)
    kept = "" if mending.hole is None else f"{HOLES}/{name}.png"
    recipe = MendRecipe(
        kind="mend", picture=picture, piece=None if mending.piece is None else mending.piece.stem, hole=kept,
        grow=mending.grown_by, seed=mending.seed,
    )  # fmt: skip
    if mending.hole is not None and holed is not None:
        drawn = np.where(hole_in(_mask(mending.hole)), 255, 0).astype(np.uint8)
        write_whole(holed, encode_png(np.dstack([drawn] * 3), 6))
    ppi = _ppi(found.path, found.document.ppi)
    document = CutoutDocument(
        format=1, width_mm=rgb.shape[1] * MM_PER_INCH / (ppi or PPI), picture=picture, recipe=recipe
    )
    words = {"format": 1} | document.model_dump(mode="json", exclude_defaults=True)
    words["recipe"] = {"kind": "mend"} | words["recipe"]
    write_whole(out, encode_png(clean, 6))
    write_whole(out.with_suffix(".toml"), tomlkit.dumps(words).encode())
    done = Mended(out, rgb.shape[1], rgb.shape[0], int(hole.sum()), out.with_suffix(".toml"))
    return done if printed is None else _print(done, clean, hole, printed, ppi)


def mend_again(document: Path, recipe: MendRecipe, progress: Progress | None = None) -> Mended:
    """Make a mended picture again by its recipe: the same bytes while recipe, picture and hole are the same.

    Parameters
    ----------
    document
        ``cutouts/NAME.toml`` in a film folder.
    recipe
        What it says.
    """
    root = document.resolve().parent.parent
    mending = Mending(
        hole=root / recipe.hole if recipe.hole else None,
        piece=None if recipe.piece is None else root / CUTOUT.place / f"{recipe.piece}.toml",
        grow=recipe.grow,
        seed=recipe.seed,
    )
    rgb = open_found(root, recipe.picture)
    hole = _hole(rgb, mending)
    out = document.with_suffix(".png")
    write_whole(out, encode_png(mend(rgb, hole, seed=recipe.seed, progress=progress), 6))
    return Mended(out, rgb.shape[1], rgb.shape[0], int(hole.sum()), document)


def read_mend_recipe(file: Path) -> MendRecipe:
    """The recipe of a mended picture.

    Raises
    ------
    FolderError
        When it cannot be read, or tells of something else.
    """
    opened = open_piece(file.with_suffix(".png")).document if file.with_suffix(".png").is_file() else None
    if opened is None or not isinstance(opened.recipe, MendRecipe):
        raise FolderError(
            str(file), "no recipe for mending", 'a table [recipe] with kind = "mend"', "mend with --into"
        )
    return opened.recipe


def _hole(rgb: Rgb, mending: Mending) -> Mask:
    if (mending.hole is None) == (mending.piece is None):
        raise CutError(
            "the hole",
            "nothing that says where it is" if mending.hole is None else "both a picture and a piece",
            "--hole MASK.png or --piece RECIPE.toml",
            "give one of them",
        )
    height, width = rgb.shape[:2]
    if mending.piece is not None:
        recipe = read_recipe(mending.piece).recipe
        if not isinstance(recipe, Recipe):
            raise FolderError(
                str(mending.piece), "a piece that was split off a cut-out", "one cut out of the picture",
                "name the cut-out that was split",
            )  # fmt: skip
        piece = Cutting(rgb).cut(recipe)
        hole = hole_of(piece.rgba[..., 3], piece.box, (height, width))
    else:
        hole = hole_in(_mask(mending.hole or Path()))
        if hole.shape != (height, width):
            raise CutError(
                str(mending.hole),
                f"{hole.shape[1]} × {hole.shape[0]} pixels",
                f"{width} × {height}, as the picture",
                "draw the hole over the same picture",
            )
    return grown(hole, mending.grown_by)


def _mask(file: Path) -> NDArray[np.uint8]:
    return open_piece(file).rgba


def _ppi(picture: Path, told: float | None) -> float | None:
    if told is not None:
        return told
    document = find_found(picture).document
    return document.ppi or read_found(picture, document.page).ppi


def _print(done: Mended, clean: Rgb, hole: Mask, printed: Printed, told: float | None) -> Mended:
    ppi = printed.ppi or told
    if ppi is None:
        raise CutError(
            "the patch", "no word of its size on paper", "pixels per inch of the scan", "give --ppi"
        )
    made = patch(clean, hole, printed.underlap_mm / MM_PER_INCH * ppi)
    write_whole(printed.file, encode_png(made.rgba, 6, ppi))
    size = (made.box[2] * MM_PER_INCH / ppi, made.box[3] * MM_PER_INCH / ppi)
    return done._replace(patch=printed.file, patch_box=made.box, patch_mm=size)
