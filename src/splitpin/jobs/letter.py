"""Make a cut-out of words."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import tomlkit
from pydantic import ValidationError

from splitpin.cutout.cutout import MM_PER_INCH, CutoutDocument
from splitpin.cutout.letters import Set, set_letters
from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.device.pictures import encode_png
from splitpin.device.stills import card_font
from splitpin.folder.kinds import FILM_FILE
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.plainly import faults_in
from splitpin.folder.save_set import write_set
from splitpin.jobs.cut import place_of_cutout

MOST_BYTES = 64 << 20


class Lettered(NamedTuple):
    """What was made."""

    letters: Set
    picture: Path
    recipe: Path
    width_mm: float
    height_mm: float
    warnings: tuple[Mistake, ...]
    """What a person should know."""


def letter(root: Path, name: str, recipe: LettersRecipe, *, again: bool = False) -> Lettered:
    """Make a cut-out of words in a film folder.

    Parameters
    ----------
    root
        The film folder.
    name
        The cut-out's.
    recipe
        What is set, and how.
    again
        Write over a cut-out of that name.

    Raises
    ------
    FolderError, CutError
        When the name is none, or taken; when the font cannot be read, or nothing be written.
    """
    if not (root / FILM_FILE).is_file():
        raise FolderError(str(root), "no film.toml", "a film folder", "make one with `splitpin new FOLDER`")
    out = place_of_cutout(root, name, again=again)
    letters = set_letters(recipe, font_of(recipe, root))
    height, width = letters.rgba.shape[:2]
    mm = MM_PER_INCH / recipe.ppi
    recipe = recipe.model_copy(update={"sized_at": recipe.ppi})
    document = CutoutDocument(format=1, width_mm=width * mm, recipe=recipe)
    words = document.model_dump(mode="json", exclude_defaults=True) | {"format": 1}
    words["recipe"] = {"kind": "letters"} | words.pop("recipe")
    words = {"format": 1, "width_mm": words["width_mm"], **words}
    text = tomlkit.dumps(words).encode()
    write_set([(out, encode_png(letters.rgba, 6)), (out.with_suffix(".toml"), text)])
    told = warnings_of_letters(letters, f"cutouts/{name}.toml")
    return Lettered(letters, out, out.with_suffix(".toml"), width * mm, height * mm, told)


def font_of(recipe: LettersRecipe, home: Path) -> bytes:
    """The file of a recipe's font.

    Parameters
    ----------
    recipe
        The recipe.
    home
        The folder from which its path counts.

    Raises
    ------
    FolderError
        When it cannot be read.
    """
    if recipe.font is None:
        return card_font()
    file = home / recipe.font
    try:
        if file.stat().st_size > MOST_BYTES:
            raise FolderError(recipe.font, "a font of more than 64 MB", "a font", "name another")
        return file.read_bytes()
    except (OSError, ValueError) as e:
        why = getattr(e, "strerror", None) or type(e).__name__
        raise FolderError(
            recipe.font,
            f"it cannot be read ({why})",
            "a font in the folder fonts/ of the film",
            "put it there",
        ) from None


def spelled(letters: str) -> str:
    """Letters that perhaps nobody can read here, with their code points."""
    more = f" and {len(letters) - 10} more" if len(letters) > 10 else ""
    return ", ".join(f"{c} (U+{ord(c):04X})" for c in letters[:10]) + more


def warnings_of_letters(letters: Set, file: str) -> tuple[Mistake, ...]:
    """What may be wrong with words that were set."""
    return warnings_of_set(file, letters.missing, backwards=letters.backwards)


def warnings_of_set(file: str, missing: str, *, backwards: bool) -> tuple[Mistake, ...]:
    """The same, by the letters that the font lacks and whether some should run from right to left."""
    told = []
    if missing:
        told.append(
            Mistake(
                file, None, f"the font has no {spelled(missing)}: empty boxes stand there",
                "letters the font has",
                "name a font that has them: put it into fonts/ and say --font fonts/NAME.ttf",
            )
        )  # fmt: skip
    if backwards:
        told.append(
            Mistake(
                file, None, "letters of a script that runs from right to left, set from left to right",
                "a script that runs from left to right", "take a picture of the words instead",
            )
        )  # fmt: skip
    return tuple(told)


def lettering(**said: object) -> LettersRecipe:
    """A recipe of what was said, whatever was not left to its default.

    Raises
    ------
    FolderError
        For the first thing that cannot be.
    """
    try:
        return LettersRecipe.model_validate(
            {"kind": "letters"} | {k: v for k, v in said.items() if v is not None}
        )
    except ValidationError as problem:
        first = faults_in(problem, LettersRecipe, said)[0]
        where = "--" + str(first.path[0] if first.path else "text").replace("_", "-")
        raise FolderError(where, first.found, first.expected, first.remedy) from None
