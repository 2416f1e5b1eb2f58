"""Keys and values as a person types them in one line."""

from __future__ import annotations

import tomllib
from typing import Any

from splitpin.folder.mistake import FolderError

MOST = 20_000


def read_said(where: str, text: str) -> dict[str, Any]:
    """Keys and values as TOML has them between braces: ``x = 10, head.angle = 5``.

    Parameters
    ----------
    where
        What is told of where they stand: an option's name.
    text
        The keys and values.

    Raises
    ------
    FolderError
        When they cannot be read.
    """
    try:
        if len(text) > MOST or "\n" in text:
            raise ValueError
        return dict(tomllib.loads(f"said = {{ {text} }}")["said"])
    except (ValueError, RecursionError, AttributeError):
        raise FolderError(
            where, f"{text[:80]!r}", "keys and values such as x = 10, head.angle = 5",
            "write texts in quotes: mouth.shows = \"open\"",
        ) from None  # fmt: skip
