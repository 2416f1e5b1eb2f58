"""The one rule for names of things in a film folder: every document can name what keeps to it."""

from __future__ import annotations

import re
import unicodedata

from splitpin.folder.mistake import FolderError
from splitpin.folder.tree import kept_for_devices
from splitpin.measure.plain import NAME_PATTERN

NAMES = "letters, digits, - and _, beginning with a letter or a digit, at most 80"
"""What a name is, in words."""


def is_name(text: str) -> bool:
    """Whether it is a name, and a good file name on every system.

    >>> is_name("cat-2"), is_name("../cat"), is_name("a cat")
    (True, False, False)
    """
    return re.fullmatch(NAME_PATTERN, text) is not None and not kept_for_devices(text)


def plain_name(text: str, otherwise: str = "picture") -> str:
    """The name that is most like a text.

    >>> plain_name("Été 1.b")
    'Été-1-b'
    >>> plain_name("con"), plain_name("…")
    ('picture-con', 'picture')
    """
    text = unicodedata.normalize("NFC", text).strip()
    text = re.sub(r"[^\w-]+", "-", text).strip("-_")[:70]
    return f"{otherwise}-{text}" if kept_for_devices(text) else text or otherwise


def refuse_misnamed(option: str, text: str, otherwise: str = "cutout") -> None:
    """Refuse what is no name.

    Parameters
    ----------
    option
        Where it was said, as ``--name``.
    text
        The name.
    otherwise
        What a thing is called when nothing of the text is left.

    Raises
    ------
    FolderError
        When documents could not name it.
    """
    if not is_name(text):
        raise FolderError(
            option, repr(text[:100]), NAMES, f"choose a plain name, such as {plain_name(text, otherwise)}"
        )
