"""The credits: a roll for an audience, and a record, file by file, for whoever looks after the rights."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from splitpin.measure.licence import asks_for_a_name, in_words
from splitpin.measure.plain import Plain, Text
from splitpin.measure.provenance import CALCULATED

GROUPS = {"picture": "Pictures", "voice": "Voices", "music": "Music", "effect": "Sounds"}
"""What the groups of a roll are called, in their order."""
NOT_KNOWN = "not known"


class Thanked(Plain):
    """Who made the film, or helped."""

    did: Text
    """What they did, as the credits shall say it: ``Moved by``, ``Thanks to``."""
    names: list[Text]
    """Who; each stands on a line."""


class Credit(NamedTuple):
    """A picture or sound that is seen or heard."""

    kind: str
    """``picture`` or ``sound``."""
    name: str
    scenes: tuple[str, ...]
    """Where; empty for a sound of the whole film."""
    source: str
    by: str
    date: str
    licence: str
    unresolved: tuple[str, ...]
    """What is not known and should be."""
    title: str = ""
    """What the work is called."""
    group: str = "picture"
    """The key of its group in the roll."""


def roll_of(title: str, people: Iterable[Thanked], listed: Sequence[Credit]) -> str:
    """The credits for an audience: the title, the people, then whose works are seen and heard, on what terms.

    Parameters
    ----------
    title
        The film's.
    people
        Who made it.
    listed
        What is seen and heard.

    Returns
    -------
    str
        Paragraphs with an empty line between them, each a heading and its lines. No names of files, and terms
        in words where there are any.
    """
    of_terms: dict[tuple[str, str], list[Credit]] = {}
    for group in GROUPS:
        for c in sorted((c for c in listed if c.group == group), key=lambda c: c.licence):
            of_terms.setdefault((group, c.licence), []).append(c)
    # What would be said of two groups in the same words is said once.
    said: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for (group, licence), works in of_terms.items():
        said.setdefault((licence, tuple(_lines(works))), []).append(GROUPS[group])
    parts = [title, *("\n".join([one.did, *one.names]) for one in people)]
    parts += [
        "\n".join([_heading(_all_of(groups), licence), *lines]) for (licence, lines), groups in said.items()
    ]
    return "\n\n".join(parts) + "\n"


def record_of(title: str, listed: Sequence[Credit]) -> str:
    """The same for an adviser: each file and what its document says; what is the same is said once."""
    parts = [title]
    for kind, heading in (("picture", "Pictures"), ("sound", "Sounds")):
        lines: dict[str, list[str]] = {}
        for c in listed:
            if c.kind == kind:
                lines.setdefault(_words(c), []).append(c.name)
        if lines:
            parts.append("\n".join([heading, *(f"{', '.join(n)}: {w}" for w, n in lines.items())]))
    return "\n\n".join(parts) + "\n"


def _words(c: Credit) -> str:
    words = [w for w in (c.title, c.by, c.date, c.source, c.licence.removeprefix("LicenseRef-")) if w]
    return ". ".join(w.rstrip(".") for w in words) or NOT_KNOWN


def _all_of(groups: Sequence[str]) -> str:
    first, *others = groups
    return " and ".join([", ".join([first, *map(str.lower, others[:-1])]), *map(str.lower, others[-1:])])


def _heading(group: str, licence: str) -> str:
    if not licence:
        return f"{group}, terms {NOT_KNOWN}"
    # Licences that ask for the name ask, too, that changes are told; whatever is cut out is changed.
    changed = ", changed for this film" if asks_for_a_name(licence) else ""
    return f"{group}, {in_words(licence)}{changed}"


def _lines(listed: Sequence[Credit]) -> list[str]:
    """A line for each person with all works; works of nobody known have lines of their own, at the end."""
    works: dict[str, dict[str, None]] = {}
    for c in listed:
        of_person = works.setdefault(c.by, {})
        if work := _work(c):
            of_person[work] = None
    lines = []
    for by in sorted(works, key=lambda by: (not by, by.casefold())):
        named = list(works[by])
        if by:
            lines.append(f"{by}: {'; '.join(named)}" if named else by)
        else:
            lines += named or [NOT_KNOWN]
    return lines


def _work(c: Credit) -> str:
    source = CALCULATED if c.source.startswith(CALCULATED) else c.source.rstrip(".")
    called = ", ".join(word for word in (c.title, c.date) if word)
    return f"{called} ({source})" if called and source else called or source
