"""What an independent reader finds on the pages of a kit, in millimetres from the bottom left corner."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import numpy as np
import pdfplumber
import pypdfium2
from numpy.typing import NDArray

MM = 25.4 / 72


class Found(NamedTuple):
    """One page as pdfplumber reads it."""

    width: float
    height: float
    lines: tuple[tuple[tuple[float, float], ...], ...]
    """The points of every line and polygon."""
    curves: tuple[tuple[tuple[float, float], ...], ...]
    """The points of every path with curves in it, as the file has them."""
    words: str


def read(file: Path) -> list[Found]:
    """Every page."""
    with pdfplumber.open(file) as pages:
        return [_page(page) for page in pages.pages]


def _page(page: pdfplumber.page.Page) -> Found:
    high = float(page.height)

    def here(points: list[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
        return tuple((float(x) * MM, (high - float(y)) * MM) for x, y in points)

    straight = [here(one["pts"]) for one in page.lines]
    straight += [here(one["pts"]) for one in page.rects]
    curved = [here(one["pts"]) for one in page.curves]
    return Found(float(page.width) * MM, high * MM, tuple(straight), tuple(curved), page.extract_text() or "")


def raster(file: Path, page: int, dpi: float = 600) -> NDArray[np.uint8]:
    """A page as PDFium draws it: grey, uint8 (height, width)."""
    document = pypdfium2.PdfDocument(file)
    grey = document[page].render(scale=dpi / 72, grayscale=True).to_numpy()
    document.close()
    return np.asarray(grey[..., 0] if grey.ndim == 3 else grey, np.uint8)
