"""Mend a found picture where a piece was cut out of it, or where it is scratched."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import NamedTuple

import numpy as np
import tomlkit
from numpy.typing import NDArray

from splitpin.cutout.cutout import MM_PER_INCH, PPI, CutoutDocument
from splitpin.cutout.mend import mend
from splitpin.cutout.mend_recipe import MendRecipe
from splitpin.cutout.patch import Mask
from splitpin.cutout.refill import ground, refilled
from splitpin.device.pictures import encode_png
from splitpin.device.straight import encode_straight
from splitpin.folder.kinds import CUTOUT
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.save import write_whole
from splitpin.folder.save_set import write_set
from splitpin.jobs.cut import place_of_cutout
from splitpin.jobs.found import Found, find_found, known_ppi
from splitpin.jobs.hole import Mending, drawn_again, find_hole, little_left
from splitpin.jobs.origin import changed, film_of, origin_of, sum_of, way_to
from splitpin.jobs.output import refuse_output
from splitpin.jobs.piece import read_piece_document
from splitpin.jobs.printed import Printed, print_patch
from splitpin.jobs.remade import put_again, scale_of
from splitpin.jobs.straight import open_straight

HOLES = "holes"
"""Where pictures of holes are kept in a film folder."""

Progress = Callable[[float], None]


class Mended(NamedTuple):
    """What was mended."""

    picture: Path
    width: int
    height: int
    pixels: int
    """How many were filled."""
    recipe: Path
    """What makes it again."""
    warnings: tuple[Mistake, ...] = ()
    """What a person should know."""
    patch: Path | None = None
    patch_box: tuple[int, int, int, int] | None = None
    """Where the patch lies: left, top, width, height in the picture's pixels."""
    patch_mm: tuple[float, float] | None = None
    """Its width and height on paper."""
    ppi: float = PPI
    """Pixels per inch by which it has its size on the table."""
    ppi_assumed: bool = False
    """Nobody said how finely the picture was scanned."""


class _Filled(NamedTuple):
    """A picture that was mended, not yet written."""

    png: bytes
    clean: NDArray[np.uint8]
    hole: Mask
    grow: int
    """By how many pixels the hole was widened."""
    warnings: tuple[Mistake, ...]


def mend_file(
    picture: Path,
    out: Path,
    mending: Mending,
    printed: Printed | None = None,
    progress: Progress | None = None,
    *,
    ppi: float | None = None,
    again: bool = False,
) -> Mended:
    """Mend any picture into a new one, with its recipe beside it; the old one stays as it is.

    Nothing outside the hole changes, not by a bit: a picture of 16 bits a channel stays one, and what was
    clear stays clear. What is filled is opaque.

    Parameters
    ----------
    picture
        Its file.
    out
        The new PNG; not in a film folder's ``cutouts/``, where its recipe could not be followed.
    mending
        What shall be mended.
    printed
        The patch to print, if any.
    progress
        Called with the part done, 0..1.
    ppi
        Pixels per inch of the picture; what its document or file tells when left out.
    again
        Write over files of the new ones' names.

    Raises
    ------
    FolderError, CutError
        When something cannot be read or written, or the hole does not fit.
    """
    read = [picture, mending.hole, mending.piece]
    beside = out.with_suffix(".toml")
    refuse_output(out, [".png"], again=again, used=read)
    refuse_output(beside, [".toml"], again=again, used=read)
    if printed is not None:
        refuse_output(printed.file, [".png"], again=again, used=[*read, out])
    found = find_found(picture)
    filled = _fill(found, mending, progress)
    home = out.parent
    recipe = MendRecipe(
        kind="mend",
        picture=way_to(picture, home),
        sha256=sum_of(found),
        piece=None if mending.piece is None else way_to(mending.piece, home),
        hole="" if mending.hole is None else way_to(mending.hole, home),
        grow=filled.grow,
        seed=mending.seed,
    )
    return _written(out, None, recipe, filled, printed, known_ppi(found, ppi))


def mend_into(
    root: Path,
    picture: str,
    name: str,
    mending: Mending,
    printed: Printed | None = None,
    progress: Progress | None = None,
    writing: AbstractContextManager[object] | None = None,
    *,
    ppi: float | None = None,
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
    printed, progress, ppi
        As for :func:`mend_file`.
    writing
        Entered when the picture is mended and the writing begins.
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
    filled = _fill(found, mending, progress)
    recipe = MendRecipe(
        kind="mend",
        picture=picture,
        sha256=sum_of(found),
        piece=None if mending.piece is None else mending.piece.stem,
        hole="" if holed is None else f"{HOLES}/{name}.png",
        grow=filled.grow,
        seed=mending.seed,
    )
    more: list[tuple[Path, bytes]] = []
    if mending.hole is not None and holed is not None:
        more.append((holed, encode_png(drawn_again(mending.hole), 6)))
    with writing or nullcontext():
        return _written(out, picture, recipe, filled, printed, known_ppi(found, ppi), more)


def mend_again(
    document: Path, out: Path | None = None, progress: Progress | None = None, *, again: bool = False
) -> Mended:
    """Make a mended picture again by its recipe: the same bytes while recipe, picture and hole are the same.

    Parameters
    ----------
    document
        Its document: ``cutouts/NAME.toml`` in a film folder, or what was written beside it elsewhere. It
        keeps its words; only the width, when the picture is cropped otherwise, and the sum of the picture are
        written anew when they change.
    out
        Where it goes; the PNG beside the document when left out.
    again
        Write over a file ``out`` of that name.

    Raises
    ------
    FolderError, CutError
        When something cannot be read or written, or the recipe not followed.
    """
    said = read_piece_document(document)
    recipe = _mend_recipe(document, said)
    film, home = film_of(document), document.resolve().parent
    piece = (
        None if recipe.piece is None else home / (recipe.piece if film is None else f"{recipe.piece}.toml")
    )
    hole = (film or home) / recipe.hole if recipe.hole else None
    found = origin_of(document, recipe.picture)
    if out is not None:
        refuse_output(out, [".png"], again=again, used=[found.path, hole, piece])
    now = sum_of(found)
    filled = _fill(found, Mending(hole, piece, recipe.grow, recipe.seed), progress)
    target = out or document.with_suffix(".png")
    mm = scale_of(document, said, said.width_mm / filled.hole.shape[1])
    if out is None:
        put_again(document, filled.png, said, filled.hole.shape[1] * mm, now)
    else:
        write_whole(out, filled.png)
    done = _done(target, document, filled, MM_PER_INCH / mm)
    return done._replace(warnings=changed(document, str(found.path), recipe.sha256, now) + done.warnings)


def _mend_recipe(file: Path, document: CutoutDocument) -> MendRecipe:
    recipe = document.recipe
    if not isinstance(recipe, MendRecipe):
        raise FolderError(
            str(file),
            "no recipe for mending",
            'a table [recipe] with kind = "mend"',
            "mend anew" if recipe is None else f"splitpin cut --recipe {file.name}",
        )
    return recipe


def _fill(found: Found, mending: Mending, progress: Progress | None) -> _Filled:
    whole = open_straight(found)
    hole = find_hole(found, whole.rgb.shape[:2], mending)
    clean = mend(ground(whole.rgb, whole.alpha, hole.mask), hole.mask, seed=mending.seed, progress=progress)
    png = encode_straight(*refilled(whole.rgb, whole.alpha, hole.mask, clean))
    notes = (
        Mistake(str(found.path), None, note, "all of the picture kept", "mend a copy without that")
        for note in whole.notes
    )
    large = little_left(str(found.path), hole.mask, whole.alpha)
    return _Filled(png, clean, hole.mask, hole.grow, (*hole.warnings, *large, *notes))


def _written(
    out: Path,
    picture: str | None,
    recipe: MendRecipe,
    filled: _Filled,
    printed: Printed | None,
    ppi: float | None,
    more: Sequence[tuple[Path, bytes]] = (),
) -> Mended:
    made = None if printed is None else print_patch(filled.clean, filled.hole, printed, ppi)
    width_mm = filled.hole.shape[1] * MM_PER_INCH / (ppi or PPI)
    document = CutoutDocument(format=1, width_mm=width_mm, picture=picture, recipe=recipe)
    words = {"format": 1} | document.model_dump(mode="json", exclude_defaults=True)
    words["recipe"] = {"kind": "mend"} | words["recipe"]
    beside = out.with_suffix(".toml")
    patch = [] if printed is None or made is None else [(printed.file, made[0])]
    write_set([(out, filled.png), *more, *patch, (beside, tomlkit.dumps(words).encode())])
    done = _done(out, beside, filled, ppi or PPI)._replace(ppi_assumed=ppi is None)
    if printed is None or made is None:
        return done
    _, box, size = made
    return done._replace(patch=printed.file, patch_box=box, patch_mm=size)


def _done(out: Path, recipe: Path, filled: _Filled, ppi: float) -> Mended:
    height, width = filled.hole.shape
    return Mended(out, width, height, int(filled.hole.sum()), recipe, filled.warnings, ppi=ppi)
