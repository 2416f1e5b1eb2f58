"""Tell the keys of the documents and the moves: the whole reference, or the part with a name."""

from __future__ import annotations

import re
from typing import NamedTuple

from splitpin.folder.mistake import FolderError
from splitpin.folder.reference import reference
from splitpin.measure.likely import likely

ANCHOR = re.compile(r'<a id="[^"]*"></a>')
LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)")
HEADING = re.compile(r"^(#{2,4}) (.*)$", re.MULTILINE)


SHARED = "\nKeys that all moves share: splitpin reference moves\n"
MOVE = "####"
"""The heading of one move."""


class Part(NamedTuple):
    """A heading and what stands below it, parts of its own included, but not every single move."""

    name: str
    """What people call it: ``scene``, ``panels``, ``slide``."""
    text: str


def tell(name: str | None = None) -> str:
    """The reference as plain text.

    Parameters
    ----------
    name
        A document, a table in one, or a move: ``scene``, ``panels``, ``slide``; everything when left out.

    Raises
    ------
    FolderError
        When nothing has that name.
    """
    if name is None:
        return _plain(reference())
    parts = _parts(reference())
    found = [part.text for part in parts if part.name == name.lower().replace("-", "").strip("[]")]
    if not found:
        known = list(dict.fromkeys(part.name for part in parts))
        expected = "a document (scene), a table in one (panels) or a move (slide)"
        raise FolderError(name, "nothing of that name", expected, likely(name, known))
    return "\n".join(found)


def _parts(page: str) -> list[Part]:
    heads = list(HEADING.finditer(page))
    parts = []
    for i, head in enumerate(heads):
        ends = (h.start() for h in heads[i + 1 :] if len(h[1]) <= len(head[1]) or h[1] == MOVE)
        text = _plain(page[head.start() : next(ends, len(page))])
        parts.append(Part(_name(head[2]), text + SHARED if head[1] == MOVE else text))
    return parts


def _name(heading: str) -> str:
    plain = ANCHOR.sub("", heading)
    if plain.startswith("`move"):
        return plain.split('"')[1]
    if not plain.startswith("`"):
        return plain.split(":")[0].lower().replace("-", "")
    # `[pieces.NAME.set.NAME]` is a table that people call pieces.set.
    return plain.split("`")[1].strip("[]").replace(".NAME", "")


def _plain(page: str) -> str:
    """Without what only a browser needs."""
    return LINK.sub(r"\1", ANCHOR.sub("", re.sub(r"<!--.*?-->\n\n", "", page))).strip() + "\n"
