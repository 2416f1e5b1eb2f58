"""Split a cut-out of a film folder into the pieces of a character."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import AbstractContextManager, nullcontext
from math import hypot
from pathlib import Path
from typing import NamedTuple

from splitpin.character.jointed import jointed
from splitpin.cutout.cutout import PPI, CutoutDocument
from splitpin.cutout.mistake import CutError
from splitpin.cutout.recipe import Recipe
from splitpin.cutout.split import Inked, Parts
from splitpin.cutout.split import split as part
from splitpin.cutout.split_recipe import SplitRecipe
from splitpin.device.pictures import encode_png
from splitpin.folder.edit import Edit, changed
from splitpin.folder.load import FilmFolder, load
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.naming import refuse_misnamed
from splitpin.folder.save_set import write_set
from splitpin.jobs.json_file import read_json
from splitpin.jobs.origin import sum_of_file
from splitpin.jobs.piece import open_piece
from splitpin.measure.likely import likely

Line = list[tuple[float, float]]

MOST_MB = 1


class Split(NamedTuple):
    """What was written."""

    parts: Parts
    cutouts: dict[str, str]
    """The cut-out of each piece."""
    character: str
    warnings: tuple[Mistake, ...] = ()
    """What a person should look at."""


def split(
    root: Path,
    cutout: str,
    lines: Sequence[Line],
    names: Sequence[str],
    *,
    degrees: float = 60.0,
    under: Sequence[str] = (),
    drop: Sequence[str] = (),
    character: str | None = None,
    as_drawn: bool = False,
    seed: int = 0,
    again: bool = False,
    writing: AbstractContextManager[object] | None = None,
) -> Split:
    """Split a cut-out and write its pieces and the character that they make.

    Parameters
    ----------
    root
        The film folder.
    cutout
        A cut-out of it; it stays as it is.
    lines, names, under, drop, as_drawn, seed
        As :func:`splitpin.cutout.split.split` takes them.
    degrees
        How far each joint turns either way, 0..180.
    character
        The character's name; the cut-out's when left out.
    again
        Write over pieces and a character of these names.
    writing
        Entered when the pieces are there and the writing begins.

    Raises
    ------
    FolderError
        When there is no such cut-out, something of these names is there, or nothing can be written.
    CutError
        When the lines do not part it.
    """
    folder = _with(root, cutout)
    who = character or cutout
    _check_words(names, who, degrees)
    written = {name: f"{cutout}-{name}" for name in names}
    files = [f"cutouts/{c}.{ending}" for c in written.values() for ending in ("png", "toml")]
    files.append(f"characters/{who}.toml")
    for file in files:
        if not again and (root / file).exists():
            raise FolderError(
                file, "a file of that name", "a new name", "name the pieces otherwise, or say --again"
            )
    opened = open_piece(folder.cutout_path(cutout))
    origin = opened.document
    mm = folder.cutouts[cutout].mm_per_px
    inked = inked_of(origin)
    found = part(opened.rgba, lines, names, under, seed, drop, as_drawn=as_drawn, inked=inked)
    recipe = SplitRecipe(
        kind="split", cutout=cutout, sha256=sum_of_file(folder.cutout_path(cutout)),
        piece=names[0], lines=[list(line) for line in lines],
        names=list(names), under=list(under), drop=list(drop), as_drawn=as_drawn, seed=seed,
        ink_mm=0.0 if inked is None else inked.mm, ink_ppi=None if inked is None else inked.ppi,
    )  # fmt: skip
    new: list[tuple[Path, bytes]] = []
    for piece in found.parts:
        document = CutoutDocument(
            format=1,
            width_mm=piece.box[2] * mm,
            picture=None if origin is None else origin.picture,
            recipe=recipe.model_copy(update={"piece": piece.name, "at": piece.box[:2]}),
        )
        file = f"cutouts/{written[piece.name]}"
        words = document.model_dump(exclude_defaults=True)
        new += [(root / f"{file}.png", encode_png(piece.rgba, 6)), _worded(root, f"{file}.toml", words)]
    figure = jointed(found, written, degrees)
    new.append(_worded(root, f"characters/{who}.toml", figure.model_dump(exclude_defaults=True)))
    with writing or nullcontext():
        write_set(new)
    return Split(found, written, who, _moved(cutout, lines, found))


def try_split(
    root: Path,
    cutout: str,
    lines: Sequence[Line],
    names: Sequence[str],
    *,
    under: Sequence[str] = (),
    drop: Sequence[str] = (),
    as_drawn: bool = False,
    seed: int = 0,
) -> Parts:
    """The pieces that :func:`split` would write; the parameters are the same, and nothing is written.

    Raises
    ------
    FolderError, CutError
        As that does.
    """
    folder = _with(root, cutout)
    opened = open_piece(folder.cutout_path(cutout))
    inked = inked_of(opened.document)
    return part(opened.rgba, lines, names, under, seed, drop, as_drawn=as_drawn, inked=inked)


def _with(root: Path, cutout: str) -> FilmFolder:
    folder = load(root)
    if cutout not in folder.cutouts:
        raise FolderError(
            f"cutouts/{cutout}.png", "no such cut-out, or not a readable one", "a cut-out of the film",
            likely(cutout, folder.cutouts),
        )  # fmt: skip
    return folder


def inked_of(document: CutoutDocument | None) -> Inked | None:
    """How the edge of a cut-out was blackened, as far as its document tells."""
    recipe = None if document is None else document.recipe
    if isinstance(recipe, Recipe) and recipe.ink_mm:
        return Inked(recipe.ink_mm, recipe.ppi or PPI)
    if isinstance(recipe, SplitRecipe) and recipe.ink_mm and recipe.ink_ppi:
        return Inked(recipe.ink_mm, recipe.ink_ppi)
    return None


def _moved(cutout: str, lines: Sequence[Line], found: Parts) -> tuple[Mistake, ...]:
    """What is told of lines that lie elsewhere than they were drawn."""
    told = []
    for k, (right, down) in found.moved:
        places = ", ".join(f"[{x + right:.0f}, {y + down:.0f}]" for x, y in (lines[k][0], lines[k][-1]))
        told.append(
            Mistake(
                f"cutouts/{cutout}.png",
                None,
                f"line {k + 1} lay on a flare and was moved by {hypot(right, down):.0f} pixels: to {places}",
                "a line across a limb, where it is no wider than it goes on to be",
                "look at the pieces; --as-drawn leaves lines where they are",
            )
        )
    return tuple(told)


def read_lines(file: Path) -> list[Line]:
    """Lines from a JSON file: ``[[[x, y], …], …]``.

    Raises
    ------
    FolderError
        When it cannot be read, or holds something else.
    """
    where, wanted = str(file), "lines as JSON: [[[x, y], [x, y]], …]"
    value = read_json(file, wanted, MOST_MB)
    if isinstance(value, dict):
        value = value.get("lines")
    if not isinstance(value, list):
        raise FolderError(where, "no list", wanted, "write a list of lines")
    # One line alone, written without the outer brackets, is meant well enough.
    lines = [value] if value and all(_is_point(p) for p in value) else value
    for k, line in enumerate(lines):
        if not isinstance(line, list) or not all(_is_point(p) for p in line):
            raise FolderError(
                f"{where}, line {k + 1}", "something that is not a list of [x, y]", wanted, "write it anew"
            )
    return [[(float(x), float(y)) for x, y in line] for line in lines]


def _is_point(value: object) -> bool:
    return (
        isinstance(value, list)
        and len(value) == 2
        and all(isinstance(v, (int, float)) and not isinstance(v, bool) and abs(v) <= 1e6 for v in value)
    )


def _check_words(names: Sequence[str], who: str, degrees: float) -> None:
    for option, word in (*(("--names", name) for name in names), ("--character", who)):
        refuse_misnamed(option, word, "piece")
    if not 0 <= degrees <= 180:
        raise CutError("range", f"{degrees} degrees", "0 to 180, either way", "give another range")


def _worded(root: Path, document: str, value: dict[str, object]) -> tuple[Path, bytes]:
    """A document and its text, which keeps the comments of the one that is there."""
    file = root / document
    try:
        text = file.read_bytes().decode("utf-8") if file.exists() else None
    except (OSError, UnicodeDecodeError):
        raise FolderError(
            document, "it cannot be read", "a document that may be written over", "take it away"
        ) from None
    edited = changed(Edit(document, (), _plain({"format": 1} | value)), text)
    return file, (edited or "").encode("utf-8")


def _plain(value: object) -> object:
    """Tables, lists, text and numbers only, as TOML has them."""
    if isinstance(value, dict):
        return {key: _plain(v) for key, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(v) for v in value]
    return value
