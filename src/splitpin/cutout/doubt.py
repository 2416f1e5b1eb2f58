"""Something that a person should look at, though it could be done."""

from __future__ import annotations

from typing import NamedTuple


class Doubt(NamedTuple):
    """Something to look at."""

    where: str
    found: str
    expected: str
    remedy: str
