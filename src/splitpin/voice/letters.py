"""What sounds the letters of a text may stand for, as far as a track can tell sounds apart."""

from __future__ import annotations

import re
import unicodedata
from typing import Literal, NamedTuple

Kind = Literal["vowel", "labial", "hiss", "other", "any", "pause"]
"""The jaw is down; the lips shut; friction; another consonant; who knows; nothing is said."""


class Unit(NamedTuple):
    """One sound that letters stand for."""

    kind: Kind
    word: int
    """Which word it is part of; -1 for a pause."""
    silent: bool = False
    """Whether it is often written and not said."""


_TOGETHER = (
    ("tion$|sion$", "VSVn"), ("igh", "V"), ("ough|augh", "V"), ("sch|tch|sh|ch", "S"), ("ph|gh", "f"),
    ("th|ck|ng|kn|wr|wh|qu|rh|dg", "n"), ("mb$", "m"), ("c(?=[eiy])", "S"), ("x", "nS"),
    (r"(?<=[^aeiouyVL])e$", "E"), ("[aeiouyæœøаеёиоуыэюяіїєαεηιουω]+w?|V", "V"), ("[pbmпбмπμ]+", "L"),
    ("[szjçßсзшщжчцσςζξ]+|S", "S"),
)  # fmt: skip
"""Letters that make one sound, in the order they are looked for: English first, then what most languages in
Latin letters share, then Greek and Cyrillic."""

_RULES = re.compile("|".join(f"(?P<g{i}>{pattern})" for i, (pattern, _) in enumerate(_TOGETHER)))
_KINDS: dict[str, Kind] = {"V": "vowel", "E": "vowel", "L": "labial", "m": "labial", "S": "hiss"}


def units_of(words: list[str]) -> list[Unit]:
    """The sounds of some words, with room for a pause before, between and after them."""
    out = [Unit("pause", -1, True)]
    for number, word in enumerate(words):
        sounds = _sounds(word)
        out += [Unit(_KINDS.get(s, "any" if s == "?" else "other"), number, s == "E") for s in sounds]
        out += [Unit("pause", -1, True)] if sounds else []
    return out


def _sounds(word: str) -> str:
    plain = "".join(
        c for c in unicodedata.normalize("NFKD", word.lower()) if not unicodedata.combining(c) and c.isalnum()
    )
    out, at = "", 0
    while at < len(plain):
        found = _RULES.match(plain, at)
        if found is not None and found.lastgroup is not None:
            out, at = out + _TOGETHER[int(found.lastgroup[1:])][1], found.end()
            continue
        letter = plain[at]
        # A letter of a script in which nothing is known, or a digit, is a syllable or more.
        out += letter if letter.isascii() and letter.isalpha() else "n" if _known(letter) else "??"
        at += 1
        while at < len(plain) and plain[at] == letter and letter.isascii() and letter.isalpha():
            at += 1
    return out


def _known(letter: str) -> bool:
    return unicodedata.name(letter, "").startswith(("LATIN", "CYRILLIC", "GREEK"))
