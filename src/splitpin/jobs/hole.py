"""The hole that shall be mended: from a picture of it, or from the piece that left it."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.cut import Cutting
from splitpin.cutout.mistake import CutError
from splitpin.cutout.patch import Mask, beside, grown, hole_in, hole_of
from splitpin.cutout.recipe import Recipe
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.jobs.found import Found, open_fitted
from splitpin.jobs.origin import changed, origin_of, sum_of, telling_changed
from splitpin.jobs.piece import open_piece
from splitpin.jobs.recut import read_recipe

DRAWN = "white where it shall be mended (128 of 255 or lighter), black elsewhere"
"""What a picture of a hole looks like."""
LARGE = 0.25
"""A hole that is more than this share of the picture is told."""


class Mending(NamedTuple):
    """What shall be mended, and how."""

    hole: Path | None = None
    """A picture of the hole, as large as the picture: white on black."""
    piece: Path | None = None
    """Or the document of the cut-out that left it."""
    grow: int | None = None
    """By how many pixels the hole is widened; None for a little around a piece, more where its edge is
    soft, else not at all."""
    seed: int = 0


class Hole(NamedTuple):
    """Where it is."""

    mask: Mask
    """bool (height, width) of the picture."""
    grow: int
    """By how many pixels it was widened."""
    warnings: tuple[Mistake, ...] = ()


def find_hole(found: Found, size: tuple[int, int], mending: Mending) -> Hole:
    """The hole in a picture.

    Parameters
    ----------
    found
        The picture.
    size
        Its height and width, made fit.
    mending
        What shall be mended.

    Raises
    ------
    FolderError, CutError
        When something cannot be read, the piece is of another picture, or the hole is nothing, or everything.
    """
    if mending.hole is not None and mending.piece is None:
        return Hole(grown(_drawn(mending.hole, size), mending.grow or 0), mending.grow or 0)
    if mending.piece is None or mending.hole is not None:
        raise CutError(
            "the hole",
            "nothing that says where it is" if mending.hole is None else "both a picture and a piece",
            "--hole MASK.png or --piece RECIPE.toml",
            "give one of them",
        )
    recipe = read_recipe(mending.piece).recipe
    if not isinstance(recipe, Recipe):
        raise FolderError(
            str(mending.piece), "a piece that was split off a cut-out", "one cut out of the picture",
            "name the cut-out that was split",
        )  # fmt: skip
    warnings = _same_picture(mending.piece, recipe, found)
    with telling_changed(str(found.path), recipe.sha256, sum_of(found)):
        piece = Cutting(open_fitted(found)).cut(recipe)
    alpha = piece.rgba[..., 3]
    grow = beside(alpha) if mending.grow is None else mending.grow
    return Hole(grown(hole_of(alpha, piece.box, size), grow), grow, warnings)


def little_left(where: str, hole: Mask, alpha: NDArray[np.integer[Any]] | None) -> tuple[Mistake, ...]:
    """What is told where little is left to copy from.

    Parameters
    ----------
    where
        The picture's file.
    hole
        bool (height, width).
    alpha
        (height, width) of the picture; None where it is opaque.
    """
    there = hole.size if alpha is None else int(((alpha > 0) | hole).sum())
    share = float(hole.sum()) / there
    if share <= LARGE:
        return ()
    return (
        Mistake(
            where,
            None,
            f"a hole that is {share:.0%} of the picture",
            f"{LARGE:.0%} at most: what fills it is copied from what is left around it",
            "look at it closely; another --seed fills it otherwise, or lay other paper under the piece",
        ),
    )


def drawn_again(file: Path) -> NDArray[np.uint8]:
    """A picture of a hole in plain black and white: uint8 (height, width, 3)."""
    return np.dstack([np.where(hole_in(open_piece(file).rgba), 255, 0).astype(np.uint8)] * 3)


def _drawn(file: Path, size: tuple[int, int]) -> Mask:
    if not file.is_file():
        raise FolderError(str(file), "no such file", f"a picture, {DRAWN}", "look at its name")
    rgba = open_piece(file).rgba
    hole = hole_in(rgba)
    height, width = size
    if hole.shape != size:
        raise CutError(
            str(file),
            f"{hole.shape[1]} × {hole.shape[0]} pixels",
            f"{width} × {height}, as the picture, {DRAWN}",
            "draw the hole over the same picture",
        )
    clear = bool((rgba[..., 3] < 255).any())
    if not hole.any():
        found = (
            "nothing painted: all of it is clear"
            if clear
            else f"no hole: its lightest pixel is {rgba[..., :3].max()} of 255"
        )
        raise CutError(str(file), found, DRAWN, "draw the hole in white")
    if hole.all():
        found = "a hole that is the whole picture" + (
            "" if clear else f": its darkest pixel is {rgba[..., :3].max(axis=2).min()} of 255"
        )
        raise CutError(str(file), found, f"{DRAWN}, and some picture left over", "draw what stays in black")
    return hole


def _same_picture(document: Path, recipe: Recipe, found: Found) -> tuple[Mistake, ...]:
    """Refuse a piece of another picture; the warning when the picture has changed since."""
    now = sum_of(found)
    if not recipe.picture or recipe.sha256 == now:
        return ()
    try:
        origin = origin_of(document, recipe.picture)
        same = (origin.path.resolve(), origin.document.page) == (found.path.resolve(), found.document.page)
        if not same and sum_of(origin) == now:
            return ()
    except FolderError:  # the picture that it was cut from is gone
        same = False
    if not same:
        raise CutError(
            str(document),
            f"a piece of another picture, {recipe.picture}",
            f"a piece of {found.path.name}",
            "name the picture that it was cut from, or a piece of this one",
        )
    return changed(document, str(found.path), recipe.sha256, now)
