"""Make a piece again from its recipe, after the recipe or the picture was changed."""

from __future__ import annotations

from pathlib import Path
from typing import cast

from splitpin.cutout.cut import Cutting, Piece, edges
from splitpin.cutout.cutout import MM_PER_INCH, PPI, CutoutDocument
from splitpin.cutout.letters import set_letters
from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.cutout.mend_recipe import MendRecipe
from splitpin.cutout.recipe import Recipe
from splitpin.cutout.split import remade
from splitpin.cutout.split_recipe import SplitRecipe
from splitpin.folder.mistake import FolderError
from splitpin.folder.save import write_whole
from splitpin.jobs.cut import Made, doubted, opened, packed
from splitpin.jobs.letter import font_of, warnings_of_letters
from splitpin.jobs.origin import changed, film_of, origin_of, sum_of, sum_of_file, telling_changed
from splitpin.jobs.output import refuse_output
from splitpin.jobs.piece import open_piece, read_piece_document
from splitpin.jobs.remade import put_again, scale_of


def recut(recipe_file: Path, out: Path | None = None, *, again: bool = False) -> Made:
    """Make a piece again: the same bytes while its recipe and what it was made of are the same.

    Parameters
    ----------
    recipe_file
        The piece's document; it was cut out of a picture, or split off a cut-out.
    out
        Where the piece goes; the PNG beside the recipe when left out. The recipe itself keeps its words; only
        the width of the piece, its place in what was split, and the sum of what it was made of are written
        anew when they change.
    again
        Write over a file ``out`` of that name.

    Raises
    ------
    FolderError, CutError
        When something cannot be read or written, or the recipe not followed.
    """
    document = read_recipe(recipe_file)
    recipe = document.recipe
    if isinstance(recipe, LettersRecipe):
        return _lettered(recipe_file, document, recipe, out, again=again)
    if isinstance(recipe, SplitRecipe):
        whole = recipe_file.parent / f"{recipe.cutout}.png"
        _refuse(out, whole, again=again)
        now = sum_of_file(whole)
        warnings = changed(recipe_file, str(whole), recipe.sha256, now)
        with telling_changed(str(whole), recipe.sha256, now):
            piece, mm = _split_off(whole, recipe)
    else:
        recipe = cast(Recipe, recipe)
        found = origin_of(recipe_file, recipe.picture)
        _refuse(out, found.path, again=again)
        now = sum_of(found)
        rgb = opened(found)
        with telling_changed(str(found.path), recipe.sha256, now):
            piece, mm = Cutting(rgb).cut(recipe), MM_PER_INCH / (recipe.ppi or PPI)
        warnings = changed(recipe_file, str(found.path), recipe.sha256, now) + doubted(rgb, recipe, piece)
    target = _put(recipe_file, document, out, piece, mm, now)
    assumed = isinstance(recipe, Recipe) and recipe.ppi is None
    return Made(piece, target, recipe_file, warnings, MM_PER_INCH / mm, assumed)


def read_recipe(file: Path) -> CutoutDocument:
    """A document that says how a piece was cut or split off.

    Raises
    ------
    FolderError
        When it cannot be read, has mistakes, or says nothing of either.
    """
    value = read_piece_document(file)
    if not isinstance(value.recipe, (Recipe, SplitRecipe, LettersRecipe)):
        mended = isinstance(value.recipe, MendRecipe)
        raise FolderError(
            str(file),
            "a recipe for mending" if mended else "no recipe for cutting",
            'a table [recipe] with kind = "cut", "split" or "letters"',
            f"splitpin mend --recipe {file.name}" if mended else "cut anew",
        )
    return value


def _refuse(out: Path | None, source: Path | None, *, again: bool) -> None:
    if out is not None:
        refuse_output(out, [".png"], again=again, used=[source])


def _lettered(
    file: Path, document: CutoutDocument, recipe: LettersRecipe, out: Path | None, *, again: bool
) -> Made:
    home = film_of(file) or file.resolve().parent
    _refuse(out, None if recipe.font is None else home / recipe.font, again=again)
    letters = set_letters(recipe, font_of(recipe, home))
    height, width = letters.rgba.shape[:2]
    outline = tuple(edges(letters.rgba[..., 3]))
    piece = Piece(letters.rgba, (0, 0, width, height), outline)
    target = _put(file, document, out, piece, MM_PER_INCH / recipe.ppi)
    return Made(piece, target, file, warnings_of_letters(letters, str(file)), recipe.ppi)


def _put(
    file: Path, document: CutoutDocument, out: Path | None, piece: Piece, mm: float, now: str | None = None
) -> Path:
    """Write the piece, and then what changes in its document where it lies beside that."""
    if out is not None:
        write_whole(out, packed(piece))
        return out
    mm = scale_of(file, document, mm)
    split = isinstance(document.recipe, SplitRecipe)
    at = piece.box[:2] if split else None
    put_again(file, packed(piece), document, piece.box[2] * mm, now, at)
    return file.with_suffix(".png")


def _split_off(whole: Path, recipe: SplitRecipe) -> tuple[Piece, float]:
    """The piece, and how many millimetres one of its pixels is."""
    origin = open_piece(whole)
    part = remade(origin.rgba, recipe)
    width_mm = (
        origin.rgba.shape[1] * MM_PER_INCH / PPI if origin.document is None else origin.document.width_mm
    )
    outline = tuple(loop + part.box[:2] for loop in edges(part.rgba[..., 3]))
    return Piece(part.rgba, part.box, outline), width_mm / origin.rgba.shape[1]
