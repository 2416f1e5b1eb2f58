"""Words become a cut-out: set in type, on paper or by themselves."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, partial
from io import BytesIO
from itertools import pairwise
from math import ceil
from typing import NamedTuple
from unicodedata import bidirectional, category, normalize

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from splitpin.cutout.cutout import MM_PER_INCH
from splitpin.cutout.kerning import Kerning, kerning
from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.cutout.mistake import CutError
from splitpin.measure.light import to_light, to_signal

LARGEST = 60_000_000
"""Pixels of a cut-out of words."""
SMALL = 1000
"""The size of type in which a font is looked at, pixels: however large it is set, that costs the same."""
FINE = 3
"""Letters are drawn so many times larger and made smaller: kept clear of the grid of pixels, they stand as
evenly as they were drawn."""
AT_ONCE = 1 << 16
"""Pixels of paper that are worked out at a time."""
TEAR_MM, FIBRE_MM, GRAIN = 0.5, 0.45, 0.012
"""How far a torn edge wanders, how wide the bare fibres show along it, and how uneven paper is (of 1)."""

Ink = NDArray[np.float32]
Places = NDArray[np.float64]
Face = ImageFont.FreeTypeFont


class Set(NamedTuple):
    """Words, set."""

    rgba: NDArray[np.uint8]
    """uint8 (height, width, 4), sRGB, straight alpha."""
    lines: tuple[str, ...]
    """How they were broken."""
    missing: str
    """The characters of which the font has no letter, each once."""
    backwards: bool
    """Whether some of it should run from right to left, which it does not."""


def set_letters(recipe: LettersRecipe, font: bytes) -> Set:
    """Set words in type.

    Parameters
    ----------
    recipe
        What and how.
    font
        The font's file.

    Raises
    ------
    CutError
        When the font cannot be read, there is nothing to set, or it would be monstrous.
    """
    text = normalize("NFC", "".join(map(_plain, recipe.text)))
    if not text.strip():
        raise CutError("text", "nothing to set", "words", "write some")
    px = recipe.ppi / MM_PER_INCH
    small = _face(font, SMALL)
    capitals = -_top(small, "H") / SMALL
    size = recipe.size_mm * px * FINE / (capitals if capitals > 0.05 else 0.7)
    if not 2 <= size <= 20_000:
        raise CutError(
            "size_mm", f"letters {size / FINE:.0f} pixels large", "2 to 6000", "choose another size or ppi"
        )
    face = _face(font, round(size))
    room = None if recipe.widest_mm is None else recipe.widest_mm * px * FINE
    lines = broken(text, face, room)
    ink = _ink(lines, face, kerning(font), recipe)
    missing = lacking(text, font)
    rgba = _bare(ink, recipe) if recipe.paper is None else _on_paper(ink, recipe, recipe.paper)
    return Set(rgba, tuple(lines), missing, runs_backwards(text))


def lacking(text: str, font: bytes) -> str:
    """The letters of a text that a font does not have, each once.

    Raises
    ------
    CutError
        When the font cannot be read.
    """
    face = _face(font, SMALL)
    return "".join(c for c in dict.fromkeys(text) if not c.isspace() and _lacks(face, c))


def runs_backwards(text: str) -> bool:
    """Whether some of a text should run from right to left."""
    return any(bidirectional(c) in ("R", "AL") for c in text)


def _plain(character: str) -> str:
    """What is set of a character: of marks that only tell how to set (a soft hyphen, a joiner) nothing."""
    kind = category(character)
    if kind == "Cf":
        return ""
    return " " if kind[0] == "C" and character != "\n" else character


def broken(text: str, face: Face, room: float | None) -> list[str]:
    """Lines no wider than there is room, unless a word is; those of one paragraph of much the same width.

    Parameters
    ----------
    text
        Line feeds part paragraphs; an empty one is an empty line.
    face
        What it is set in.
    room
        Pixels; no line is broken when left out.
    """
    lines: list[str] = []
    for paragraph in text.strip("\n").split("\n"):
        words = paragraph.split()
        if room is None or not words:
            lines.append(" ".join(words))
            continue
        starts, ends = _on_one_line(words, face)
        first = _filled(starts, ends, room)
        low, high = 0.0, room
        # The narrowest room that takes no more lines: they come out even.
        while high - low > face.size / 8:
            middle = (low + high) / 2
            fits = len(_filled(starts, ends, middle)) <= len(first)
            low, high = (low, middle) if fits else (middle, high)
        lines += [" ".join(words[a:b]) for a, b in _filled(starts, ends, high)]
    return lines


def _on_one_line(words: Sequence[str], face: Face) -> tuple[Places, Places]:
    """Where each word would start and end if all stood on one line, pixels.

    Each word is measured once, however many rooms are tried: the advance of a line is the sum of its letters'
    and of what the font's pairs of neighbours take from it.
    """
    long = cache(face.getlength)

    @cache
    def gap(last: str, first: str) -> float:
        return long(f"{last} {first}") - long(last) - long(first)

    wide = np.array([long(word) for word in words])
    gaps = np.array([0.0, *(gap(a[-1], b[0]) for a, b in pairwise(words))])
    ends = np.cumsum(wide + gaps)
    return ends - wide, ends


def _filled(starts: Places, ends: Places, room: float) -> list[tuple[int, int]]:
    """The first word of each line, and the one after its last; as many on each as there is room for."""
    lines = [(0, 0)]
    while lines[-1][1] < len(ends):
        first = lines[-1][1]
        fit = int(np.searchsorted(ends, starts[first] + room, side="right"))
        lines.append((first, max(first + 1, fit)))
    return lines[1:]


def _face(font: bytes, size: int) -> Face:
    try:
        # The other engine, where a computer has it, would space letters in ways of its own.
        return ImageFont.truetype(BytesIO(font), size, layout_engine=ImageFont.Layout.BASIC)
    except OSError:
        raise CutError(
            "font", "a file that is no font", "TrueType or OpenType (.ttf, .otf)", "name another font"
        ) from None


def _top(face: Face, letter: str) -> float:
    return float(face.getbbox(letter, anchor="ls")[1])


def _lacks(face: Face, letter: str) -> bool:
    # A letter that a font lacks shows the same box as one that can never be.
    drawn, never = face.getmask(letter), face.getmask("\uffff")
    return drawn.size == never.size and bytes(drawn) == bytes(never)


def _ink(lines: Sequence[str], face: Face, closer: Kerning, recipe: LettersRecipe) -> Ink:
    """How much of each pixel is letter, 0..1; nothing around them but what their paper asks for."""
    places = [_places(line, face, closer) for line in lines]
    boxes = [_box(line, places[i], face) for i, line in enumerate(lines)]
    # Lines lie by what is seen of them: the white beside a letter would shift them.
    wide = max(box[2] - box[0] for box in boxes)
    step = recipe.spacing * face.size
    margin = recipe.margin_mm * recipe.ppi / MM_PER_INCH * FINE if recipe.paper is not None else 0.0
    rise, fall = -_top(face, "H"), max(0.0, float(face.getbbox("p", anchor="ls")[3]))
    # Paper lies evenly about the capitals and the base line; a third of what hangs under it weighs down.
    above = max(margin + rise, *(i * -step - box[1] for i, box in enumerate(boxes))) + FINE
    last = (len(lines) - 1) * step
    below = max(margin + fall / 3, *(i * step + box[3] - last for i, box in enumerate(boxes))) + FINE
    left = margin + FINE
    width, height = ceil((wide + 2 * left) / FINE) * FINE, ceil((above + last + below) / FINE) * FINE
    if width * height > LARGEST * FINE * FINE:
        raise CutError(
            "text",
            f"a cut-out of {width // FINE} by {height // FINE} pixels",
            f"at most {LARGEST // 1_000_000} million",
            "set it smaller, with fewer ppi, or part it",
        )
    image = Image.new("L", (width, height))
    pen = ImageDraw.Draw(image)
    for i, (line, box) in enumerate(zip(lines, boxes, strict=True)):
        slack = wide - (box[2] - box[0])
        x = left + {"left": 0.0, "centre": slack / 2, "right": slack}[recipe.align] - box[0]
        for letter, place in zip(line, places[i], strict=True):
            pen.text((x + place, above + i * step), letter, 255, face, anchor="ls")
    small = cv2.resize(np.asarray(image), (width // FINE, height // FINE), interpolation=cv2.INTER_AREA)
    return np.asarray(small, np.float32) / np.float32(255)


def _places(line: str, face: Face, closer: Kerning) -> list[float]:
    """Where each letter of a line begins."""
    long = cache(face.getlength)
    places, x = [], 0.0
    for i, letter in enumerate(line):
        if i:
            x += closer(line[i - 1], letter) * face.size
        places.append(x)
        x += long(letter)
    return places


def _box(line: str, places: Sequence[float], face: Face) -> tuple[float, float, float, float]:
    """What is seen of a line: left, top, right and bottom from its start on the base line."""
    around = cache(partial(face.getbbox, anchor="ls"))
    seen = [
        (x + left, top, x + right, bottom)
        for letter, x in zip(line, places, strict=True)
        for left, top, right, bottom in (around(letter),)
        if right > left
    ]
    if not seen:
        return (0.0, 0.0, 0.0, 0.0)
    lefts, tops, rights, bottoms = zip(*seen, strict=True)
    return min(lefts), min(tops), max(rights), max(bottoms)


def _rgb(colour: str) -> NDArray[np.float64]:
    return np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)], np.float64) / 255


def _bare(ink: Ink, recipe: LettersRecipe) -> NDArray[np.uint8]:
    rgba = np.empty((*ink.shape, 4), np.uint8)
    rgba[..., :3] = np.rint(_rgb(recipe.colour) * 255)
    rgba[..., 3] = np.rint(ink * 255)
    return rgba


def _on_paper(ink: Ink, recipe: LettersRecipe, colour: str) -> NDArray[np.uint8]:
    chance = np.random.default_rng(recipe.seed)
    px = recipe.ppi / MM_PER_INCH
    height, width = ink.shape
    grain = _noise(chance, height, width, 0.35 * px)
    grain += np.float32(0.5) * _noise(chance, height, width, 2.5 * px)
    wander = torn = None
    if recipe.edge == "torn":
        wander = np.zeros((height, width), np.float32)
        for scale, weight in ((7.0, 1.0), (2.0, 0.35), (0.6, 0.12)):
            wander += np.float32(weight) * _noise(chance, height, width, scale * px)
        torn = _noise(chance, height, width, 2.5 * px)
    face, letters = to_light(_rgb(colour)), to_light(_rgb(recipe.colour))
    rgba = np.empty((height, width, 4), np.uint8)
    # Light takes many times the memory of the picture: a few rows of it at a time.
    high = max(1, AT_ONCE // width)
    for top in range(0, height, high):
        rows = slice(top, min(top + high, height))
        paper = face * (1 + GRAIN * grain[rows, :, None])
        alpha = np.ones(paper.shape[:2])
        if wander is not None and torn is not None:
            inside = _from_the_edge(rows, height, width) - 2 * TEAR_MM * px - 1
            inside += TEAR_MM * px * np.clip(wander[rows], -1.8, 1.8)
            alpha = np.clip(inside + 0.5, 0, 1)
            # Paper tears through its thickness: its inner fibres show, lighter than its face.
            fibre = FIBRE_MM * px * (1 + 0.4 * np.clip(torn[rows], -2, 2))
            bare = np.clip(1 - (inside - fibre) / (0.2 * px), 0, 1)[..., None]
            paper = paper * (1 - 0.75 * bare) + 0.75 * bare * to_light(0.97)
        cover = ink[rows, :, None]
        light = paper * (1 - cover) + letters * cover
        rgba[rows, :, :3] = np.rint(to_signal(np.clip(light, 0, 1)) * 255)
        rgba[rows, :, 3] = np.rint(alpha * 255)
    return rgba


def _from_the_edge(rows: slice, height: int, width: int) -> Ink:
    """How far the middle of each pixel of some rows lies from the nearest edge of the sheet, pixels."""
    y = np.arange(rows.start, rows.stop, dtype=np.float32)[:, None] + np.float32(0.5)
    x = np.arange(width, dtype=np.float32)[None] + np.float32(0.5)
    return np.asarray(np.minimum(np.minimum(x, width - x), np.minimum(y, height - y)), np.float32)


def _noise(chance: np.random.Generator, height: int, width: int, scale: float) -> NDArray[np.float32]:
    """Chance that changes over so many pixels, with a standard deviation of about 1."""
    step = max(1.0, scale)
    small = chance.standard_normal((ceil(height / step) + 3, ceil(width / step) + 3)).astype(np.float32)
    whole = cv2.resize(
        small, None, fx=step, fy=step, interpolation=cv2.INTER_CUBIC if step > 1 else cv2.INTER_NEAREST
    )
    return np.asarray(whole[:height, :width], np.float32)
