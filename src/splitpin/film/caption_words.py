"""The words of a spoken line, as far as a caption may be broken between them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from typing import NamedTuple

_IDEOGRAMS = (
    r"\u3041-\u30ff\u31f0-\u31ff\u3400-\u4dbf\u4e00-\u9fff\uf900-\ufaff\uff66-\uff9f\U00020000-\U0003ffff"
)
_OPENING = "「『（【〈《［｛"
_CLINGING = "、。，．！？；：」』）】〉》］｝・…‥ー～々ゝゞぁぃぅぇぉっゃゅょゎァィゥェォッャュョヮヵヶ゛゜"
# Signs that stand neither first nor last in a line are part of what they belong to (kinsoku shori, common
# practice); everything else of these scripts may be parted.
_RUN = re.compile(
    f"[{_OPENING}]*[{_IDEOGRAMS}][{_CLINGING}]*|[^{_IDEOGRAMS}{_OPENING}]+[{_CLINGING}]*|[{_OPENING}]+"
)


class Bit(NamedTuple):
    """A word, or a part of one that is written without spaces."""

    text: str
    spaced: bool = True
    """Whether a space follows it, where a line does not end."""


def letters_of(text: str) -> int:
    """How many letters a reader sees.

    Accents of their own belong to the letter before. A sign of Chinese, Japanese or Korean is as wide as two
    letters, and takes as long to read. [T]

    >>> letters_of("héllo"), letters_of("猫")
    (5, 2)
    """
    return sum(map(_width, text))


def words_of(text: str, width: int) -> tuple[Bit, ...]:
    """The words of a text; scripts without spaces are parted at every sign, what no line holds is broken."""
    bits: list[Bit] = []
    for word in unicodedata.normalize("NFC", text).split():
        parts = [part for run in runs_of(word) for part in _broken(run, width)]
        bits += [Bit(part, False) for part in parts[:-1]]
        bits.append(Bit(parts[-1]))
    return tuple(bits)


def runs_of(word: str) -> list[str]:
    """The parts between which a word may be broken: one, but for scripts without spaces.

    >>> runs_of("saucer"), runs_of("猫は、OK。")
    (['saucer'], ['猫', 'は、', 'OK。'])
    """
    return _RUN.findall(word) or [word]


def is_ideogram(sign: str) -> bool:
    """Whether a sign is of a script without spaces between words."""
    return re.match(f"[{_IDEOGRAMS}]", sign) is not None


def _width(sign: str) -> int:
    if unicodedata.combining(sign):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1


def _broken(run: str, width: int) -> Iterator[str]:
    start, size = 0, 0
    for i, sign in enumerate(run):
        wide = _width(sign)
        if size + wide > width and i > start:
            yield run[start:i]
            start, size = i, 0
        size += wide
    yield run[start:]
