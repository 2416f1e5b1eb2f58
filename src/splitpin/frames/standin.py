"""Pictures in the place of frames not drawn yet: a card with the panel's words, or any picture fitted."""

from __future__ import annotations

from io import BytesIO
from typing import Any, NamedTuple
from unicodedata import category, normalize

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from splitpin.character.place import Placed
from splitpin.frames.canvas import Canvas
from splitpin.frames.pyramid import Pyramid
from splitpin.measure.affine import stretch
from splitpin.measure.table import Stage

Frame = NDArray[np.uint8]

TABLE, PAPER, INK, PENCIL = "#cfc4ac", "#fbf6e9", "#2d2823", "#b9ad97"
LONGEST = 1000
"""Letters of one text that are set; nobody reads more on a card."""
SMALLEST = 8
"""Pixels: the smallest type for the title."""


def fit(picture: Frame, stage: Stage, paper: str = "#ffffff") -> Frame:
    """A picture as large as the frame holds, in its middle, on paper.

    Parameters
    ----------
    picture
        uint8, (height, width) grey, (height, width, 3) or (height, width, 4) with straight alpha; sRGB.
    stage
        The size of the frame.
    paper
        The colour beside it, ``#rrggbb``.

    Returns
    -------
    ndarray
        uint8 (height, width, 3), sRGB. A picture of the frame's own size comes back as it is.

    Raises
    ------
    ValueError
        When the picture is of another kind, or has no pixels.
    """
    height, width = picture.shape[:2]
    matrix = stretch(min(stage.width / width, stage.height / height) if width and height else 1.0)
    matrix = matrix._replace(e=(stage.width - width * matrix.a) / 2, f=(stage.height - height * matrix.d) / 2)
    canvas = Canvas(stage, {"": Pyramid.of(_rgba(picture))}, None, paper)
    back = stage.to_pixels(stage.whole()).inverse()
    canvas.draw((Placed("", "", "", matrix.then(back), (0.0, 0.0), 0.0, 0.0),), stage.whole())
    return canvas.rgb


def _rgba(picture: Frame) -> Frame:
    if picture.dtype != np.uint8 or picture.ndim not in (2, 3) or not picture.size:
        raise ValueError(
            f"a picture of {picture.dtype} {picture.shape}; expected uint8 with one pixel or more"
        )
    deep = picture[..., None] if picture.ndim == 2 else picture
    if deep.shape[2] == 4:
        return deep
    if deep.shape[2] not in (1, 3):
        raise ValueError(f"a picture with {deep.shape[2]} channels; expected grey, RGB or RGB and alpha")
    rgba = np.full((*deep.shape[:2], 4), 255, np.uint8)
    rgba[..., :3] = deep
    return rgba


def card(stage: Stage, title: str, *lines: str, font: bytes) -> Frame:
    """A paper card on the table with a panel's words.

    Parameters
    ----------
    stage
        The size of the frame.
    title
        Set large.
    lines
        Set below it, smaller; each starts on a line of its own. What is empty takes no room.
    font
        A TrueType or OpenType font. Letters that it lacks show its empty box.

    Returns
    -------
    ndarray
        uint8 (height, width, 3), sRGB. Lines are broken at words, long words anywhere; the type gets smaller
        until all of it fits, and what still does not is cut off with an ellipsis.

    Raises
    ------
    ValueError
        When the font cannot be read.
    """
    width, height = stage.width, stage.height
    image = Image.new("RGB", (width, height), TABLE)
    pen = ImageDraw.Draw(image)
    margin = max(1, min(width, height) // 12)
    room = (width - 4 * margin, height - 4 * margin)
    edge = (margin, margin, width - margin - 1, height - margin - 1)
    pen.rectangle(edge, PAPER, PENCIL, max(1, height // 360))
    texts = [settable(t) for t in (title, *lines)]
    small, large = SMALLEST, max(SMALLEST, min(height // 9, width // 12))
    setting = _setting(texts, large, room[0], font)
    if setting.height > room[1]:
        while large - small > 1:
            size = (small + large) // 2
            small, large = (
                (small, size) if _setting(texts, size, room[0], font).height > room[1] else (size, large)
            )
        setting = _setting(texts, small, room[0], font)
    y = 2 * margin + max(0, (room[1] - setting.height) // 2)
    for i, (line, face, step) in enumerate(setting.lines):
        last = y + 2 * step > height - 2 * margin and i + 1 < len(setting.lines)
        shown = f"{line}…" if last else line
        pen.text((width / 2 - face.getlength(shown) / 2, y), shown, INK, face)
        if last:
            break
        y += step
    return np.array(image)


class _Setting(NamedTuple):
    lines: list[tuple[str, Any, int]]
    """Words, face, and how far down the next line is."""
    height: int


def _setting(texts: list[str], size: int, room: int, font: bytes) -> _Setting:
    """The first text at ``size`` pixels, the others smaller."""
    lines = []
    for i, text in enumerate(texts):
        face = _face(font, size if i == 0 else max(SMALLEST * 5 // 8, size * 5 // 8))
        step = round(face.size * 1.3)
        broken = [(line, face, step) for line in _broken(text, face, room)]
        if i == 0 and broken:
            broken[-1] = (broken[-1][0], face, step + size // 3)
        lines += broken
    return _Setting(lines, sum(step for _, _, step in lines))


def _face(font: bytes, size: int) -> Any:
    try:
        # The other engine, where a computer has it, would break and space letters in ways of its own.
        return ImageFont.truetype(BytesIO(font), size, layout_engine=ImageFont.Layout.BASIC)
    except OSError as error:
        raise ValueError(f"these {len(font)} bytes are not a font; expected TrueType or OpenType") from error


def settable(text: str) -> str:
    """What a card sets of a text: accents joined to their letters, for which fonts have one sign.

    No more than so many letters, and none that cannot be set, as control letters and halves of surrogate
    pairs.
    """
    short = text if len(text) <= LONGEST else f"{text[:LONGEST]}…"
    plain = "".join("\n" if c == "\n" else " " if category(c) in ("Cc", "Cs") else c for c in short)
    return normalize("NFC", plain)


def _broken(text: str, face: Any, room: int) -> list[str]:
    """Lines no wider than ``room`` pixels, unless a single letter is."""
    space = face.getlength(" ")
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line, wide = "", 0.0
        for long_word in paragraph.split():
            word = long_word
            own = face.getlength(word)
            if line and wide + space + own <= room:
                line, wide = f"{line} {word}", wide + space + own
                continue
            if line:
                lines.append(line)
            while len(word) > 1 and own > room:
                cut = _fitting(word, face, room)
                lines.append(word[:cut])
                word = word[cut:]
                own = face.getlength(word)
            line, wide = word, own
        if line:
            lines.append(line)
    return lines


def _fitting(word: str, face: Any, room: int) -> int:
    """How many of a word's letters fit, at least one."""
    low, high = 1, len(word)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if face.getlength(word[:middle]) <= room else (low, middle - 1)
    return low
