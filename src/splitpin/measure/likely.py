"""Which of the known words a mistyped one was meant to be."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


def likely(word: str, known: Iterable[str]) -> str:
    """A remedy in words for an unknown word.

    >>> likely("slied", ["slide", "roll"])
    'did you mean slide?'
    >>> likely("zzz", ["slide", "roll"])
    'use one of slide, roll'
    """
    words = list(dict.fromkeys(known))
    close = get_close_matches(word, words, 1, 0.6)
    if close:
        return f"did you mean {close[0]}?"
    return f"use one of {', '.join(words)}" if words else "there is none yet"
