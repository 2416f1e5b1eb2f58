"""Pages of a PDF as pictures, drawn by PDFium."""

from __future__ import annotations

from pathlib import Path
from threading import Lock

import numpy as np
import pypdfium2
from numpy.typing import NDArray

from splitpin.folder.mistake import FolderError

_ONE = Lock()
"""PDFium is not made for several threads."""


def page_count(file: Path) -> int:
    """How many pages a PDF has.

    Raises
    ------
    FolderError
        When it is none.
    """
    with _ONE:
        document = _opened(file)
        try:
            return len(document)
        finally:
            document.close()


def page_picture(file: Path, number: int, width: int) -> NDArray[np.uint8]:
    """A page: uint8 (height, width, 3), sRGB.

    Parameters
    ----------
    file
        The PDF.
    number
        From 1.
    width
        Pixels.

    Raises
    ------
    FolderError
        When it is no PDF, or has no such page.
    """
    with _ONE:
        document = _opened(file)
        try:
            if not 1 <= number <= len(document):
                raise FolderError(
                    file.name, f"no page {number}", f"1 to {len(document)}", "look at the kit anew"
                )
            page = document[number - 1]
            drawn = page.render(scale=width / page.get_width(), rev_byteorder=True).to_numpy()
            return np.ascontiguousarray(drawn[..., :3])
        finally:
            document.close()


def _opened(file: Path) -> pypdfium2.PdfDocument:
    try:
        return pypdfium2.PdfDocument(file)
    except (pypdfium2.PdfiumError, OSError) as problem:
        raise FolderError(
            file.name, f"no PDF that can be read ({problem})", "a kit", "make it anew"
        ) from None
