"""Pages of marks, written as PDF: vectors at true size, fonts embedded, the same pages the same bytes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from io import BytesIO
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFError, TTFont
from reportlab.pdfgen.canvas import Canvas

from splitpin.device.beside import beside
from splitpin.device.stills import card_font
from splitpin.folder.mistake import FolderError
from splitpin.paper.page import Curves, Disc, Mark, Page, Print, Stroke, Words
from splitpin.paper.stock import POINT

PPI = 300.0
"""Of pictures on paper: finer ones only make the file larger."""
FACE = "DejaVuSans"
BOLDER = 0.035
"""Bold type is drawn with its own outline, so wide against its size: one font is enough."""
JPEG_QUALITY = 90
Read = Callable[[str], NDArray[np.uint8]]


class Face:
    """The type of a kit.

    Parameters
    ----------
    font
        A TrueType font of the person's own; the one that comes with splitpin when left out.

    Raises
    ------
    FolderError
        When it is no font that can be embedded.
    """

    def __init__(self, font: Path | None = None) -> None:
        data = card_font() if font is None else _font(font)
        self.name = FACE if font is None else f"own-{font.stem}"
        try:
            self._font = TTFont(self.name, BytesIO(data))
        except (TTFError, ValueError, KeyError, IndexError) as problem:
            raise FolderError(
                str(font),
                f"no font that can be embedded ({problem})",
                "a TrueType font (.ttf)",
                "name another",
            ) from problem
        pdfmetrics.registerFont(self._font)

    def __call__(self, text: str, size: float, bold: bool = False) -> float:
        """The width of a line of type, mm."""
        width = float(pdfmetrics.stringWidth(text, self.name, size))
        return (width + (BOLDER * size if bold and text else 0.0)) * POINT

    def unknown(self, text: str) -> str:
        """The letters of a text that the font does not have, each once."""
        known = self._font.face.charToGlyph
        return "".join(dict.fromkeys(c for c in text if ord(c) not in known and not c.isspace()))


def _font(font: Path) -> bytes:
    try:
        return font.read_bytes()
    except OSError as problem:
        raise FolderError(
            str(font), f"it cannot be read ({problem.strerror})", "a TrueType font (.ttf)", "name another"
        ) from problem


def write_pages(
    path: Path, pages: Sequence[Page], face: Face, read: Read, title: str, measured: float = 100.0,
    told: Callable[[int, int], None] | None = None,
) -> None:  # fmt: skip
    """Write pages as PDF.

    Parameters
    ----------
    path
        Where it goes; written beside and renamed.
    pages
        The pages.
    face
        The type.
    read
        The pixels of a picture by its name: uint8 (height, width, 3 or 4), sRGB, straight alpha.
    title
        Of the document.
    measured
        What a printed rule of 100 mm measures, mm: everything is enlarged by 100 / ``measured``.
    told
        Told how many pages of how many are written.
    """
    scale = 100.0 / measured / POINT
    with beside(path) as part:
        paper = Canvas(str(part), invariant=True, pageCompression=1, initialFontName=face.name)
        paper.setTitle(title)
        paper.setCreator("splitpin")
        readers: dict[tuple[str, float, float], ImageReader] = {}
        for number, page in enumerate(pages):
            paper.setPageSize((page.stock.width * scale, page.stock.height * scale))
            paper.saveState()
            paper.scale(scale, scale)
            paper.setLineCap(0)
            for mark in page.marks:
                _draw(paper, mark, face, partial(_picture, read, readers))
            paper.restoreState()
            paper.showPage()
            if told is not None:
                told(number + 1, len(pages))
        paper.save()


def _draw(paper: Canvas, mark: Mark, face: Face, picture: Callable[[Print], ImageReader]) -> None:
    match mark:
        case Stroke(points):
            path = paper.beginPath()
            path.moveTo(*points[0])
            for point in points[1:]:
                path.lineTo(*point)
            if mark.closed:
                path.close()
            _ink(paper, mark.width, mark.grey, mark.dash, mark.fill)
            paper.drawPath(path, int(mark.width > 0), int(mark.fill is not None))
        case Curves(loops):
            path = paper.beginPath()
            for loop in loops:
                path.moveTo(*loop[0][0])
                for _, b, c, d in loop:
                    path.curveTo(*b, *c, *d)
                path.close()
            _ink(paper, mark.width, mark.grey, mark.dash, mark.fill)
            paper.drawPath(path, int(mark.width > 0), int(mark.fill is not None), 0)
        case Disc((x, y), radius):
            _ink(paper, mark.width, mark.grey, (), mark.fill)
            paper.circle(x, y, radius, int(mark.width > 0), int(mark.fill is not None))
        case Words():
            _type(paper, mark, face)
        case Print():
            _print(paper, mark, picture(mark))


def _ink(paper: Canvas, width: float, grey: float, dash: Sequence[float], fill: float | None) -> None:
    if width > 0:
        paper.setLineWidth(width)
        paper.setStrokeGray(grey)
        paper.setDash(list(dash))
    if fill is not None:
        paper.setFillGray(fill)


def _type(paper: Canvas, words: Words, face: Face) -> None:
    text = shortened(words, face)
    if not text:
        return
    size = words.size * POINT
    width = face(text, words.size, words.bold)
    paper.saveState()
    paper.translate(words.x, words.y)
    if words.angle:
        paper.rotate(words.angle)
    left = {"left": 0.0, "middle": -width / 2, "right": -width}[words.align]
    line = paper.beginText(left, 0.0)
    line.setFont(face.name, size)
    line.setFillGray(words.grey)
    if words.bold:
        paper.setLineWidth(BOLDER * size)
        paper.setStrokeGray(words.grey)
        paper.setDash([])
        line.setTextRenderMode(2)
    line.textOut(text)
    paper.drawText(line)
    paper.restoreState()


def shortened(words: Words, face: Face) -> str:
    """What is shown of a line of type: all of it, or what fits and an ellipsis."""
    text = words.text
    if words.room is None or face(text, words.size, words.bold) <= words.room:
        return text
    while text and face(text.rstrip() + "…", words.size, words.bold) > words.room:
        text = text[:-1]
    return text.rstrip() + "…" if text else ""


def _print(paper: Canvas, mark: Print, picture: ImageReader) -> None:
    a, b, c, d, e, f = mark.matrix
    paper.saveState()
    if mark.clip:
        inside = paper.beginPath()
        for points in mark.clip:
            inside.moveTo(*points[0])
            for point in points[1:]:
                inside.lineTo(*point)
            inside.close()
        paper.clipPath(inside, 0, 0, 0)
    if mark.strength < 1:
        paper.setFillAlpha(mark.strength)
    # A PDF's picture is a unit square with y up; the mark has pixels with y down.
    paper.transform(a, b, -c, -d, e, f)
    width, height = picture.true_size
    paper.drawImage(picture, 0, -height, width, height, mask="auto")
    paper.restoreState()


def _picture(read: Read, readers: dict[tuple[str, float, float], ImageReader], mark: Print) -> ImageReader:
    """A picture as fine as it prints, once for each size."""
    along = (mark.matrix.a**2 + mark.matrix.b**2) ** 0.5
    down = (mark.matrix.c**2 + mark.matrix.d**2) ** 0.5
    key = mark.picture, round(along, 6), round(down, 6)
    if key in readers:
        return readers[key]
    image = Image.fromarray(read(mark.picture))
    size = image.size
    fine = (max(1, round(size[0] * along * PPI / 25.4)), max(1, round(size[1] * down * PPI / 25.4)))
    if fine[0] < size[0] or fine[1] < size[1]:
        image = image.resize((min(fine[0], size[0]), min(fine[1], size[1])), Image.Resampling.LANCZOS)
    data = BytesIO()
    if image.mode == "RGBA":
        image.save(data, "PNG")
    else:
        image.convert("RGB").save(data, "JPEG", quality=JPEG_QUALITY)
    data.seek(0)
    reader = ImageReader(data)
    reader.true_size = size
    readers[key] = reader
    return reader


def texts_of(pages: Iterable[Page]) -> str:
    """Everything that stands on pages."""
    return "".join(mark.text for page in pages for mark in page.marks if isinstance(mark, Words))
