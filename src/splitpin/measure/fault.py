"""A mistake found in a document, before anyone knows in which file and line it stands."""

from __future__ import annotations

from typing import NamedTuple


class Fault(NamedTuple):
    """What is wrong at one place of one document.

    ``path`` leads from the top of the document to the offending value (``("moves", 2, "who")``).
    """

    path: tuple[str | int, ...]
    found: str
    expected: str
    remedy: str
