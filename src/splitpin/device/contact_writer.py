"""A contact sheet, drawn: as the pages of a PDF, or as one tall PNG."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache, partial
from io import BytesIO
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFont
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from splitpin.device.beside import beside
from splitpin.device.pictures import encode_png
from splitpin.device.stills import card_font
from splitpin.film.contact import HAIR, POINT, Page, Words

PPI = 300.0
"""Of the pictures on paper: finer ones only make the file larger."""
PNG_PPI = 150.0
LINE = 0.15
"""Millimetres of the thin line around a picture."""
ELLIPSIS = "…"
FONT = "DejaVuSans"
JPEG_QUALITY = 90


def write_pdf(path: Path, pages: Sequence[Page], pictures: Sequence[Path], title: str) -> None:
    """Write the pages as PDF; the same pages give the same bytes.

    Parameters
    ----------
    path
        Where it goes; written beside and renamed.
    pages
        What stands where.
    pictures
        The picture of each moment.
    title
        Of the document.
    """
    if FONT not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(FONT, BytesIO(card_font())))
    with beside(path) as part:
        paper = Canvas(str(part), invariant=True, pageCompression=1, initialFontName=FONT)
        paper.setTitle(title)
        paper.setCreator("splitpin")
        for page in pages:
            _page(paper, page, pictures)
        paper.save()


def _page(paper: Canvas, page: Page, pictures: Sequence[Path]) -> None:
    paper.setPageSize((page.width / POINT, page.height / POINT))
    paper.saveState()
    # Millimetres from the top left corner, as the layout has them; type and pictures are turned back.
    paper.scale(1 / POINT, 1 / POINT)
    for box in page.boxes:
        data = BytesIO()
        _small(pictures[box.moment], box.width, box.height, PPI).save(data, "JPEG", quality=JPEG_QUALITY)
        y = page.height - box.y - box.height
        paper.drawImage(ImageReader(BytesIO(data.getvalue())), box.x, y, box.width, box.height)
        paper.setStrokeGray(HAIR)
        paper.setLineWidth(LINE)
        paper.rect(box.x, y, box.width, box.height)
    for words in page.words:
        size = words.size * POINT
        text = _cut(words, partial(pdfmetrics.stringWidth, fontName=FONT, fontSize=size))
        paper.setFillGray(words.grey)
        paper.setFont(FONT, size)
        draw = paper.drawString if words.align == "left" else paper.drawRightString
        draw(words.x, page.height - words.y, text)
    paper.restoreState()
    paper.showPage()


def write_sheet(path: Path, page: Page, pictures: Sequence[Path]) -> None:
    """Write a page as PNG.

    Parameters
    ----------
    path
        Where it goes; written beside and renamed.
    page
        What stands where.
    pictures
        The picture of each moment.
    """
    scale = PNG_PPI / 25.4
    image = Image.new("RGB", (round(page.width * scale), round(page.height * scale)), "white")
    pen = ImageDraw.Draw(image)
    for box in page.boxes:
        x, y = round(box.x * scale), round(box.y * scale)
        small = _small(pictures[box.moment], box.width, box.height, PNG_PPI)
        image.paste(small, (x, y))
        pen.rectangle((x - 1, y - 1, x + small.width, y + small.height), None, _grey(HAIR), 1)
    for words in page.words:
        face = _face(round(words.size * PNG_PPI / 72))
        text = _cut(words, face.getlength, 1 / scale)
        anchor = "ls" if words.align == "left" else "rs"
        pen.text((words.x * scale, words.y * scale), text, _grey(words.grey), face, anchor)
    with beside(path) as part:
        part.write_bytes(encode_png(np.asarray(image, np.uint8), 6, PNG_PPI))


def _small(picture: Path, width: float, height: float, ppi: float) -> Image.Image:
    size = (max(1, round(width * ppi / 25.4)), max(1, round(height * ppi / 25.4)))
    with Image.open(picture) as whole:
        rgb = whole.convert("RGB")
    return rgb.resize(size, Image.Resampling.LANCZOS) if size[0] < rgb.width else rgb


def _cut(words: Words, length: Callable[[str], float], unit: float = 1.0) -> str:
    text = words.text
    while text and length(text) * unit > words.room:
        text = text.removesuffix(ELLIPSIS)[:-1].rstrip() + ELLIPSIS if text != ELLIPSIS else ""
    return text


def _grey(value: float) -> tuple[int, int, int]:
    return (round(255 * value),) * 3


@cache
def _face(size: int) -> ImageFont.FreeTypeFont:
    # The other engine, where a computer has it, would space letters in ways of its own.
    return ImageFont.truetype(BytesIO(card_font()), size, layout_engine=ImageFont.Layout.BASIC)
