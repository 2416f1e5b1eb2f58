"""What sounds the letters of a text may stand for, as far as a track can tell sounds apart."""

from __future__ import annotations

import re
import unicodedata
from typing import Literal, NamedTuple

Kind = Literal["labial", "hiss", "breath", "stop", "nasal", "glide", "vowel", "other", "any", "pause"]
"""The lips shut (m, b, p); loud friction (s, sh, ch); soft friction (f, th, h); another stop (t, k, g);
through the nose (n, ng); a consonant that rings (l, r, w, y); the jaw is down; some consonant or other; who
knows; nothing is said."""


class Unit(NamedTuple):
    """One sound that letters stand for."""

    kind: Kind
    word: int
    """Which word it is part of; -1 for a pause."""
    silent: bool = False
    """Whether it is often written and not said."""


_TOGETHER = (
    ("tion$|sion$", "SVN"), ("igh", "V"), ("ough|augh", "V"), ("sch|tch|sh|ch|dg", "S"), ("ph|gh|th", "F"),
    ("wh|wr|rh", "R"), ("ck|qu", "T"), ("kn|ng", "N"), ("mb$", "L"), ("c(?=[eiy])", "S"), ("g(?=[eiy])", "C"),
    ("x", "TS"), (r"(?<=[^aeiouyVL])e(?=s?$)", "E"), ("y(?=[aeiou])", "R"),
    ("[aeiouyæœøаеёиоуыэюяіїєαεηιουω]+w?", "V"), ("[pbmпбмπμ]+", "L"), ("[szjçßсзшщжчцσςζξ]+", "S"),
    ("[fvhфвхφβχθ]+", "F"), ("[tdkgcqтдкгτδκγ]+", "T"), ("[nнν]+", "N"), ("[lrwлрйλρ]+", "R"),
)  # fmt: skip
"""Letters that make one sound, in the order they are looked for: English first, then what most languages in
Latin letters share, then Greek and Cyrillic."""

_RULES = re.compile("|".join(f"(?P<g{i}>{pattern})" for i, (pattern, _) in enumerate(_TOGETHER)))
_KINDS: dict[str, Kind] = {
    "L": "labial", "S": "hiss", "F": "breath", "T": "stop", "N": "nasal", "R": "glide",
    "V": "vowel", "E": "vowel", "C": "other", "?": "any",
}  # fmt: skip


def units_of(words: list[str]) -> list[Unit]:
    """The sounds of some words, with room for a pause before, between and after them."""
    out = [Unit("pause", -1, True)]
    for number, word in enumerate(words):
        sounds = _sounds(word)
        out += [Unit(_KINDS[sound], number, sound == "E") for sound in sounds]
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
        # A letter of a script in which nothing is known, or a digit, is a syllable or more.
        out, at = out + ("C" if _known(plain[at]) else "??"), at + 1
    return out


def _known(letter: str) -> bool:
    return unicodedata.name(letter, "").startswith(("LATIN", "CYRILLIC", "GREEK"))
