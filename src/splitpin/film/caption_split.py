"""A spoken line parted into captions, and captions into lines, where a reader would breathe.

A break costs by where it falls: nothing after a sentence, little after a clause, much between words that
belong together; the cheapest whole is taken. The measures of cost are our own; that breaks follow sentence
and clause, and that the lower line is the longer one, is common practice.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


# Of a few languages only; elsewhere the rule for short words does most of it.
ARTICLES = _set(
    "a an the der die das den dem des ein eine einen einem einer eines le la les un une du el los las"
    " uno il lo gli i o os as um uma de het een en ett το η ο τα οι"
)
CLINGING = _set(
    "with from into onto over under your their this that these those über unter ohne nach dans pour avec sous"
    " leur leurs unos unas para desde della delle degli dello sopra como pelo pela"
)
JOINING = _set("and or but so because und oder aber weil et ou mais car y o pero porque e ma che")
SENTENCE, CLAUSE, JOINED, PLAIN, SHORT, CLINGS, ORPHAN = 0.0, 3.0, 6.0, 10.0, 12.0, 16.0, 80.0
CAPTION = 30.0
"""What one more caption costs: a few full ones are read more calmly than many short ones."""


class Chunk(NamedTuple):
    """The words of one caption."""

    first: int
    """Its first word."""
    end: int
    """The one after its last."""
    lines: tuple[str, ...]


def letters_of(text: str) -> int:
    """How many letters a reader sees: accents of their own belong to the letter before.

    >>> letters_of("héllo")
    5
    """
    return sum(1 for c in text if not unicodedata.combining(c))


def words_of(text: str, width: int) -> tuple[str, ...]:
    """The words of a text; one that no line holds is broken."""
    words: list[str] = []
    for long_word in unicodedata.normalize("NFC", text).split():
        word = long_word
        while letters_of(word) > width:
            cut = width
            while letters_of(word[: cut + 1]) <= width:
                cut += 1
            words.append(word[:cut])
            word = word[cut:]
        words.append(word)
    return tuple(words)


def split(words: Sequence[str], width: int, lines: int, least: int = 1) -> tuple[Chunk, ...]:
    """Part words into captions.

    Parameters
    ----------
    words
        None of them longer than ``width``, as :func:`words_of` gives them.
    width
        The most letters of a line.
    lines
        The most lines of a caption.
    least
        How many captions there should be at least, because they are said so slowly; there are never more
        than words.
    """
    count = len(words)
    if not count:
        return ()
    sizes = [letters_of(word) for word in words]
    ends = [_cost_of_break(words[i], words[i + 1]) if i + 1 < count else 0.0 for i in range(count)]

    @cache
    def laid(first: int, end: int, left: int) -> tuple[float, tuple[int, ...]] | None:
        """The cost of words on so many lines at most, and where each line ends."""
        size = sum(sizes[first:end]) + end - first - 1
        if size <= width:
            return 0.0, (end,)
        if left == 1 or size > left * width + left - 1:
            return None
        best: tuple[float, tuple[int, ...]] | None = None
        top = -1
        for middle in range(first + 1, end):
            top += sizes[middle - 1] + 1
            if top > width:
                break
            rest = laid(middle, end, left - 1)
            if rest is None:
                continue
            below = (size - top) / len(rest[1])
            # Above the picture's lower edge a pyramid covers least of what is to be seen.
            shape = 8 * abs(top - below) / width + (4 if top > below else 0)
            cost = ends[middle - 1] + shape + rest[0]
            if best is None or cost < best[0]:
                best = cost, (middle, *rest[1])
        return best

    @cache
    def parted(first: int, left: int) -> tuple[float, tuple[int, ...]] | None:
        """The cost of all words from one on in ``left`` captions (in any number when 0), and their ends."""
        if first == count:
            return (0.0, ()) if left <= 0 else None
        best: tuple[float, tuple[int, ...]] | None = None
        size = -1
        for end in range(first + 1, count + 1):
            size += sizes[end - 1] + 1
            if size > lines * width + lines - 1:
                break
            here, rest = laid(first, end, lines), parted(end, max(0, left - 1))
            if here is None or rest is None:
                continue
            slack = 12 * (1 - size / (lines * width)) ** 2
            cost = CAPTION + slack + here[0] + ends[end - 1] + rest[0]
            if best is None or cost < best[0]:
                best = cost, (end, *rest[1])
        return best

    found = parted(0, min(least, count)) or (0.0, tuple(range(1, count + 1)))
    chunks: list[Chunk] = []
    first = 0
    for end in found[1]:
        setting = laid(first, end, lines)
        stops = setting[1] if setting is not None else (end,)
        starts = (first, *stops[:-1])
        text = tuple(" ".join(words[a:b]) for a, b in zip(starts, stops, strict=True))
        chunks.append(Chunk(first, end, text))
        first = end
    return tuple(chunks)


def _cost_of_break(word: str, after: str) -> float:
    bare = word.rstrip("\"'”’»)]")
    if bare.endswith((".", "!", "?", "…", "。", "！", "？")):
        return SENTENCE
    if bare.endswith((",", ";", ":", "—", "–", "،", "、")) or after.startswith(("—", "–")):
        return CLAUSE
    low = bare.casefold()
    if low in ARTICLES:
        return ORPHAN
    if len(low) <= 2 or low in CLINGING:
        return CLINGS
    if after.casefold().strip("\"'“‘«(") in JOINING:
        return JOINED
    return SHORT if len(low) == 3 else PLAIN
