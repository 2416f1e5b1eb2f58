"""The found pictures of a film, each with what is known of it and what was made of it."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from splitpin.cutout.cutout import CutoutDocument
from splitpin.folder.kinds import CUTOUT
from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.pictures import PictureSize, measure_picture
from splitpin.jobs.found import Found, explained, find_found, pictures_in
from splitpin.jobs.origin import stamp_of
from splitpin.measure.provenance import missing
from splitpin.picture.document import PictureDocument


class Print(NamedTuple):
    """One found picture."""

    name: str
    file: str
    """Its path in the folder."""
    document: PictureDocument
    """What is known of it; an empty one where nothing is."""
    told: bool
    """Whether it has a document."""
    size: PictureSize | None
    """Its size as it was found, its first page's; None when it cannot be read."""
    stamp: str
    """Another one whenever the picture is to be looked at anew: its file or its steps have changed."""
    unresolved: tuple[str, ...]
    """What should still be found out, if it is seen in the film."""
    cutouts: tuple[str, ...]
    """What was made of it."""
    mistake: Mistake | None = None
    """Why it cannot be read."""


class Portfolio(NamedTuple):
    """The found pictures of a film."""

    prints: tuple[Print, ...]
    mistakes: tuple[Mistake, ...]
    """Documents in ``pictures/`` that lead to no picture."""


def portfolio(root: Path) -> Portfolio:
    """Look at every found picture's header and document; none is decoded.

    Raises
    ------
    FolderError
        When there is no film folder.
    """
    folder = load(root)
    made: dict[str, list[str]] = {}
    for name in sorted(folder.cutouts):
        document = folder.documents.get(f"{CUTOUT.place}/{name}.toml")
        value = None if document is None else document.value
        if isinstance(value, CutoutDocument) and value.picture is not None:
            made.setdefault(value.picture, []).append(name)
    prints: list[Print] = []
    mistakes: list[Mistake] = []
    for name in pictures_in(root):
        try:
            found = find_found(root, name)
        except FolderError as problem:
            mistakes.append(problem.mistake)
            continue
        prints.append(_print(root, found, tuple(made.get(name, ()))))
    return Portfolio(tuple(prints), tuple(mistakes))


def _print(root: Path, found: Found, cutouts: tuple[str, ...]) -> Print:
    size, mistake = None, None
    try:
        with explained(found.path):
            size = measure_picture(found.path)
    except FolderError as problem:
        mistake = problem.mistake
    return Print(
        found.name,
        found.path.relative_to(root).as_posix(),
        found.document,
        found.told,
        size,
        stamp_of(found),
        missing(found.document if found.told else None),
        cutouts,
        mistake,
    )
