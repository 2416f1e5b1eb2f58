"""A spoken line parted into captions, and captions into lines, where a reader would breathe.

A break costs by where it falls: nothing after a sentence, little after a clause, much between words that
belong together; the cheapest whole is taken. The measures of cost are our own; that breaks follow sentence
and clause, and that the lower line is the longer one, is common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import accumulate, pairwise
from typing import NamedTuple

import numpy as np

from splitpin.film.caption_words import Bit, is_ideogram, letters_of


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
LONELY = 8.0
"""What a word by itself costs, on a line or in a caption."""
CAPTION = 30.0
"""What one more caption costs: a few full ones are read more calmly than many short ones."""


class Chunk(NamedTuple):
    """The words of one caption."""

    first: int
    """Its first word."""
    end: int
    """The one after its last."""
    lines: tuple[str, ...]


def split(words: Sequence[Bit], width: int, lines: int, least: int = 1) -> tuple[Chunk, ...]:
    """Part words into captions.

    The work grows with the words and with ``least``, not with what they could be parted into.

    Parameters
    ----------
    words
        None of them longer than ``width``, as :func:`splitpin.film.caption_words.words_of` gives them.
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
    gaps = [int(word.spaced) for word in words]
    upto = [0, *accumulate(letters_of(word.text) + gap for word, gap in zip(words, gaps, strict=True))]
    ends = [_cost_of_break(words[i], words[i + 1].text) if i + 1 < count else 0.0 for i in range(count)]

    def size(first: int, end: int) -> int:
        return upto[end] - upto[first] - gaps[end - 1]

    @cache
    def laid(first: int, end: int, left: int) -> tuple[float, tuple[int, ...]] | None:
        """The cost of words on so many lines at most, and where each line ends."""
        whole = size(first, end)
        if whole <= width or end == first + 1:
            return 0.0, (end,)
        if left == 1 or whole > left * width + left - 1:
            return None
        best: tuple[float, tuple[int, ...]] | None = None
        for middle in range(first + 1, end):
            top = size(first, middle)
            if top > width:
                break
            rest = None if whole - top > (left - 1) * width + left else laid(middle, end, left - 1)
            if rest is None:
                continue
            below = (whole - top) / len(rest[1])
            # Above the picture's lower edge a pyramid covers least of what is to be seen; and one word
            # alone looks forgotten.
            alone = (middle == first + 1) + (middle == end - 1)
            shape = 8 * abs(top - below) / width + (4 if top > below else 0) + LONELY * alone
            cost = ends[middle - 1] + shape + rest[0]
            if best is None or cost < best[0]:
                best = cost, (middle, *rest[1])
        return best

    most = min(least, count)
    # The cheapest way from each word on to the last, for every number of captions there should still be.
    costs = np.full((count + 1, most + 1), np.inf)
    costs[count, 0] = 0.0
    stops = np.zeros((count, most + 1), np.int64)
    rest = np.maximum(np.arange(most + 1) - 1, 0)
    for first in range(count - 1, -1, -1):
        for end in range(first + 1, count + 1):
            whole = size(first, end)
            if whole > lines * width + lines - 1 and end > first + 1:
                break
            here = laid(first, end, lines)
            if here is None:
                continue
            slack = 12 * (1 - whole / (lines * width)) ** 2 + (LONELY if end == first + 1 < count else 0)
            cost = CAPTION + slack + here[0] + ends[end - 1] + costs[end][rest]
            better = cost < costs[first]
            costs[first][better] = cost[better]
            stops[first][better] = end
    chunks: list[Chunk] = []
    first, left = 0, most
    while first < count:
        end, left = int(stops[first, left]), max(0, left - 1)
        found = laid(first, end, lines)
        breaks = found[1] if found is not None else (end,)
        text = tuple(_joined(words[a:b]) for a, b in pairwise((first, *breaks)))
        chunks.append(Chunk(first, end, text))
        first = end
    return tuple(chunks)


def _joined(words: Sequence[Bit]) -> str:
    return "".join(word.text + " " * word.spaced for word in words).rstrip(" ")


def _cost_of_break(bit: Bit, after: str) -> float:
    word = bit.text
    bare = word.rstrip("\"'”’»)]」』）】〉》")
    if bare.endswith((".", "!", "?", "…", "。", "！", "？")):
        return SENTENCE
    if bare.endswith((",", ";", ":", "—", "–", "،", "、", "，")) or after.startswith(("—", "–")):
        return CLAUSE
    if not bit.spaced:
        return JOINED if _phrase_ends(word, after) else CLINGS if is_ideogram(word[-1]) else ORPHAN
    low = bare.casefold()
    if low in ARTICLES:
        return ORPHAN
    if len(low) <= 2 or low in CLINGING:
        return CLINGS
    if after.casefold().strip("\"'“‘«(") in JOINING:
        return JOINED
    return SHORT if len(low) == 3 else PLAIN


def _phrase_ends(sign: str, after: str) -> bool:
    """Japanese ends its phrases in hiragana, and most begin with another script."""
    return "\u3041" <= sign[-1] <= "\u309f" and not "\u3041" <= after[0] <= "\u309f"
