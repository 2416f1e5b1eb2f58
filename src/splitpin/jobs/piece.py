"""Open a cut-out from its file: its pixels and its size on the table."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.cutout import CutoutDocument
from splitpin.device.pictures import PictureError, read_picture
from splitpin.folder.kinds import CUTOUT
from splitpin.folder.mistake import FileError, FolderError
from splitpin.folder.pictures import measure_picture
from splitpin.folder.read import read_file
from splitpin.folder.save_set import finish_sets


class OpenPiece(NamedTuple):
    """A cut-out, read."""

    rgba: NDArray[np.uint8]
    """uint8 (height, width, 4), sRGB, straight alpha."""
    document: CutoutDocument | None
    """What its document says; None when it has none."""


def open_piece(path: Path) -> OpenPiece:
    """Read a cut-out's picture and, where there is one, the document of the same name beside it.

    Raises
    ------
    FolderError
        When either is missing, or cannot be read.
    """
    where = str(path)
    finish_sets(path.resolve().parent)
    if not path.is_file():
        raise FolderError(where, "no such file", "a cut-out, a transparent PNG", "look at its name")
    try:
        measure_picture(path)
        rgba = read_picture(path)
    except FileError as e:
        raise FolderError(where, e.found, e.expected, e.remedy) from None
    except OSError as e:
        found = f"it cannot be read ({e.strerror or type(e).__name__})"
        raise FolderError(where, found, "a picture", "look at its permissions") from None
    except PictureError as e:
        raise FolderError(where, e.found, e.expected, e.remedy) from e
    beside = path.with_suffix(".toml")
    return OpenPiece(rgba, read_piece_document(beside) if beside.is_file() else None)


def read_piece_document(file: Path) -> CutoutDocument:
    """What a document says of a cut-out.

    Raises
    ------
    FolderError
        When it cannot be read, or has mistakes.
    """
    finish_sets(file.resolve().parent)
    if file.suffix.lower() != ".toml":
        beside = file.with_suffix(".toml")
        remedy = f"name {beside.name}, which is beside it" if beside.is_file() else "name its document"
        raise FolderError(str(file), "no document of a cut-out", "a file that ends in .toml", remedy)
    if not file.is_file():
        raise FolderError(str(file), "no such file", "the document of a cut-out", "look at its name")
    document = read_file(CUTOUT, file.parent, file.name)
    if document.mistakes:
        first = document.mistakes[0]
        line = "" if first.line is None else f", line {first.line}"
        raise FolderError(f"{file}{line}", first.found, first.expected, first.remedy)
    return cast(CutoutDocument, document.value)
