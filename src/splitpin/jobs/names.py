"""What the files of a film are called, and which of them would be written over one another."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from splitpin.film.document import Film
from splitpin.film.outlet import STANDARD, AnyOutlet, FilmOutlet
from splitpin.folder.mistake import Mistake
from splitpin.folder.tree import folded, kept_for_devices

LONGEST = 120
"""Letters of a film's name before its outlet and its ending."""
OURS = ("segments", "sounds", "voices", "fitted")
"""The folders in ``made/`` of what is kept."""


def outlets_of(film: Film) -> dict[str, AnyOutlet]:
    """The forms in which a film is delivered; one when it names none."""
    return film.outlets or {"web": FilmOutlet()}


def path_of(film: Film, outlet: str, scenes: Sequence[str] | None = None) -> Path:
    """Where an outlet goes, from the film folder.

    Parameters
    ----------
    film
        The film.
    outlet
        The outlet's name, its own or a standard one; the first of the film has the plainest file name.
    scenes
        The scenes that are made as a film of their own; the whole film when left out.
    """
    outlets = outlets_of(film)
    stem = file_stem(film.title)
    if scenes is not None:
        stem = f"{stem}-{'-'.join(scenes)}"[:LONGEST]
    if outlet != next(iter(outlets)):
        stem = f"{stem}-{outlet}"
    return Path("made", f"{stem}{(outlets.get(outlet) or STANDARD[outlet]).ending}")


def clashes(film: Film, scenes: Sequence[str] | None = None) -> list[Mistake]:
    """Outlets that would be written over one another, on any computer: capitals do not count.

    Parameters
    ----------
    film
        The film.
    scenes
        Scenes that are to be made as a film of their own, beside the whole one.
    """
    taken: dict[str, str] = {}
    mistakes: list[Mistake] = []
    for some in [None, scenes] if scenes is not None else [None]:
        for name in outlets_of(film):
            path = path_of(film, name, some).as_posix()
            what = f"outlet {name}" if some is None else f"{' and '.join(some)} for outlet {name}"
            key = folded(path)
            if key in taken:
                mistakes.append(
                    Mistake(
                        "film.toml", None, f"{taken[key]} and {what} both go to {path}",
                        "a file for each, with names that differ by more than capitals",
                        "give the outlet another name",
                    )
                )  # fmt: skip
            taken.setdefault(key, what)
    return mistakes


def file_stem(title: str) -> str:
    """A file name for a title, good on every system.

    >>> file_stem("Exact Change!")
    'exact-change'
    >>> file_stem("…")
    'film'
    """
    words = re.findall(r"\w+", title.lower())
    stem = "-".join(words)[:80] or "film"
    return f"film-{stem}" if kept_for_devices(stem) or stem in OURS else stem
