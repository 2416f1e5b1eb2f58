"""Cut a thing out of a found picture, and write the piece with its recipe."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import NamedTuple, TypeVar

import numpy as np
import tomlkit
from numpy.typing import NDArray
from pydantic import TypeAdapter, ValidationError

from splitpin.cutout.cut import Cutting, Piece
from splitpin.cutout.cutout import MM_PER_INCH, CutoutDocument
from splitpin.cutout.recipe import Recipe, Stroke
from splitpin.device.pictures import encode_png
from splitpin.folder.kinds import CUTOUT, PICTURE
from splitpin.folder.mistake import FolderError
from splitpin.folder.save import write_whole
from splitpin.jobs.found import Found, as_found, find_found
from splitpin.picture.fit import fitted

MOST_BYTES = 4 << 20
PPI = 300.0
"""Taken for a picture of which nobody said how finely it was scanned."""

Value = TypeVar("Value")
LOOP: TypeAdapter[list[tuple[float, float]]] = TypeAdapter(list[tuple[float, float]])
STROKES: TypeAdapter[list[Stroke]] = TypeAdapter(list[Stroke])


class Made(NamedTuple):
    """What was written."""

    piece: Piece
    picture: Path
    recipe: Path


def cut(picture: Path, recipe: Recipe, out: Path) -> Made:
    """Cut from any picture; the recipe is written beside the piece.

    Parameters
    ----------
    picture
        Its file.
    recipe
        What to do; its ``picture`` and, where it says none and the picture's document does, its ``ppi`` are
        filled in.
    out
        The piece's PNG.

    Raises
    ------
    FolderError, CutError
        When the picture cannot be read, the recipe not followed, or nothing written.
    """
    if out.suffix.lower() != ".png":
        raise FolderError(str(out), f"the ending {out.suffix or 'is missing'}", ".png", "name a PNG file")
    found = find_found(picture)
    recipe = recipe.model_copy(update={"picture": _way_to(picture, out.parent)})
    return _made(found, recipe, out, None)


def cut_into(root: Path, picture: str, recipe: Recipe, name: str, *, again: bool = False) -> Made:
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
    again
        Write over a cut-out of that name.
    """
    found = find_found(root, picture)
    out = root / CUTOUT.place / f"{name}.png"
    if not again and (out.exists() or out.with_suffix(".toml").exists()):
        raise FolderError(
            f"{CUTOUT.place}/{name}.png",
            "a cut-out of that name",
            "a new name",
            "name another, or say --again",
        )
    return _made(found, recipe.model_copy(update={"picture": picture}), out, picture)


def asked(
    *,
    loop: Path | None,
    box: str | None,
    keep: Path | None,
    drop: Path | None,
    edge: str,
    knife: Path | None,
    ink: float,
    ppi: float | None,
) -> Recipe:
    """A recipe of what was asked for in files and words.

    Raises
    ------
    FolderError
        When one of them says something else.
    """
    words: dict[str, object] = {"edge": edge, "ink_mm": float(ink), "ppi": ppi}
    if box is not None:
        try:
            words["box"] = tuple(float(v) for v in box.split(","))
        except ValueError:
            raise FolderError("--box", box, "four numbers, X,Y,W,H", "write it so") from None
    if loop is not None:
        words["loop"] = read_loop(loop)
    if knife is not None:
        words["knife"] = read_loop(knife)
    words |= {key: read_strokes(file) for key, file in (("keep", keep), ("drop", drop)) if file is not None}
    try:
        return Recipe.model_validate(words)
    except ValidationError as e:
        first = e.errors(include_url=False)[0]
        option = str(first["loc"][0]).replace("_mm", "")
        raise FolderError(f"--{option}", str(first["input"])[:80], first["msg"], "give another") from None


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


def read_loop(file: Path) -> list[tuple[float, float]]:
    """A loop from JSON: ``[[x, y], …]``.

    Raises
    ------
    FolderError
        When it cannot be read, or is something else.
    """
    return _read_json(file, LOOP, "points in pixels, [[x, y], …]")


def read_strokes(file: Path) -> list[Stroke]:
    """Strokes from JSON: ``[{"points": [[x, y], …], "radius": r}, …]``.

    Raises
    ------
    FolderError
        When it cannot be read, or is something else.
    """
    return _read_json(file, STROKES, 'strokes, [{"points": [[x, y], …], "radius": pixels}, …]')


def _made(found: Found, recipe: Recipe, out: Path, name: str | None) -> Made:
    if recipe.ppi is None and found.document.ppi is not None:
        recipe = recipe.model_copy(update={"ppi": found.document.ppi})
    piece = Cutting(opened(found)).cut(recipe)
    document = CutoutDocument(
        format=1, width_mm=piece.box[2] * MM_PER_INCH / (recipe.ppi or PPI), picture=name, recipe=recipe
    )
    words = document.model_dump(mode="json", exclude_defaults=True) | {"format": 1}
    words["recipe"] = {"kind": "cut"} | words["recipe"]
    beside = out.with_suffix(".toml")
    write_png(out, piece)
    write_whole(beside, tomlkit.dumps(dict(sorted(words.items(), key=_order))).encode())
    return Made(piece, out, beside)


def _order(item: tuple[str, object]) -> int:
    return {"format": 0, "recipe": 2}.get(item[0], 1)


def opened(found: Found) -> NDArray[np.uint8]:
    """A found picture as it is cut from: made fit."""
    return fitted(as_found(found), found.document.fit)


def write_png(path: Path, piece: Piece) -> None:
    """The piece as a file."""
    write_whole(path, encode_png(piece.rgba, 6))


def _way_to(picture: Path, home: Path) -> str:
    try:
        return Path(os.path.relpath(picture.resolve(), home.resolve())).as_posix()
    except ValueError:  # another drive
        return picture.resolve().as_posix()


def _read_json(file: Path, kind: TypeAdapter[Value], wanted: str) -> Value:
    where = str(file)
    try:
        if file.stat().st_size > MOST_BYTES:
            raise FolderError(where, "a file of more than 4 MB", wanted, "name another file")
        return kind.validate_python(json.loads(file.read_text(encoding="utf-8-sig")))
    except OSError as e:
        why = f"it cannot be read ({e.strerror or type(e).__name__})"
        raise FolderError(where, why, wanted, "look at its name and permissions") from None
    except ValidationError as e:
        first = e.errors(include_url=False)[0]
        place = "".join(f"[{p}]" if isinstance(p, int) else f".{p}" for p in first["loc"])
        raise FolderError(where, f"at {place or 'the top'}: {first['msg']}", wanted, "write it so") from None
    except (ValueError, RecursionError):
        raise FolderError(where, "something that is not JSON", wanted, "look for a missing bracket") from None
