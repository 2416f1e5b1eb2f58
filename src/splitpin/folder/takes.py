"""Shot frames on disk: ``takes/SCENE/FRAME.png``, where FRAME is the first frame of an exposure in its scene.

A further take of the same exposure is ``FRAME-2.png``, ``FRAME-3.png`` …; files are written once and never
overwritten, and the highest number counts.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

ENDINGS = (".png", ".jpg", ".jpeg", ".tif", ".tiff")
_NAME = re.compile(r"(\d{6})(?:-([2-9]|[1-9]\d{1,3}))?(\.[A-Za-z]+)", re.ASCII)


class Take(NamedTuple):
    """One shot frame."""

    frame: int
    """The first frame of its exposure, in its scene."""
    number: int
    """1 for the first take of it."""
    file: str
    """Its path in the film folder."""


def read_name(scene: str, name: str) -> Take | None:
    """The take that a file name stands for; None for any other file.

    >>> read_name("010-wall", "000034-2.png")
    Take(frame=34, number=2, file='takes/010-wall/000034-2.png')
    """
    match = _NAME.fullmatch(name)
    if match is None or match.group(3).lower() not in ENDINGS:
        return None
    return Take(int(match.group(1)), int(match.group(2) or 1), f"takes/{scene}/{name}")


def file_name(frame: int, number: int = 1, ending: str = ".png") -> str:
    """The file name of a take.

    >>> file_name(34, 2)
    '000034-2.png'
    """
    return f"{frame:06d}{'' if number == 1 else f'-{number}'}{ending}"


def best(takes: Iterable[Take]) -> dict[int, Take]:
    """The take that counts for each exposure: the one with the highest number."""
    return {t.frame: t for t in sorted(takes, key=lambda t: (t.frame, t.number))}
