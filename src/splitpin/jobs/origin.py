"""What a piece was made of, and whether that has changed since."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from splitpin.cutout.mistake import CutError
from splitpin.folder.kinds import CUTOUT, FILM_FILE
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.jobs.found import Found, find_found


def film_of(document: Path) -> Path | None:
    """The film folder whose cut-out a document tells of; None for a document outside of ``cutouts/``."""
    home = document.resolve().parent
    return home.parent if home.name == CUTOUT.place and (home.parent / FILM_FILE).is_file() else None


def origin_of(document: Path, picture: str) -> Found:
    """The picture that a recipe names: in a film folder by its name, elsewhere by its file.

    Raises
    ------
    FolderError
        When a film has no such picture.
    """
    film = film_of(document)
    return find_found(document.resolve().parent / picture) if film is None else find_found(film, picture)


def way_to(file: Path, home: Path) -> str:
    """How a recipe in the folder ``home`` names a file outside of a film folder."""
    try:
        return Path(os.path.relpath(file.resolve(), home.resolve())).as_posix()
    except ValueError:  # another drive
        return file.resolve().as_posix()


def sum_of(found: Found) -> str:
    """The SHA-256 sum of a picture's file, and of its page and the steps that make it fit where it has any.

    Raises
    ------
    FolderError
        When it cannot be read.
    """
    page, fit = found.document.page, found.document.fit
    more = "" if page == 1 else f"page {page}"
    return sum_of_file(found.path, more if fit.idle else more + fit.model_dump_json(exclude_defaults=True))


def stamp_of(found: Found) -> str:
    """A short text that is another one whenever a picture's file, page or steps have changed.

    It goes by the file's time and size, so that it costs nothing; for proof there is :func:`sum_of`.
    """
    try:
        told = found.path.stat()
        seen = f"{told.st_mtime_ns} {told.st_size}"
    except OSError:
        seen = "gone"
    words = f"{found.path} {seen} {found.document.page} {found.document.fit.model_dump_json()}"
    return hashlib.sha256(words.encode()).hexdigest()[:16]


def sum_of_file(file: Path, more: str = "") -> str:
    """The SHA-256 sum of a file, and of what more there is to it.

    Raises
    ------
    FolderError
        When it cannot be read.
    """
    try:
        with file.open("rb") as opened:
            told = hashlib.file_digest(opened, "sha256")
    except OSError as e:
        found = f"it cannot be read ({e.strerror or type(e).__name__})"
        raise FolderError(str(file), found, "a file", "look whether it is there and may be read") from None
    told.update(more.encode())
    return told.hexdigest()


@contextmanager
def telling_changed(what: str, noted: str | None, now: str) -> Iterator[None]:
    """Where a recipe cannot be followed any more, tell that what it was for has changed since.

    Parameters
    ----------
    what, noted, now
        As for :func:`changed`.

    Raises
    ------
    CutError
        What could not be done, and why.
    """
    try:
        yield
    except CutError as e:
        if noted is None or noted == now:
            raise
        found = f"{e.found}; {what} has changed since this was cut from it"
        remedy = f"put the old picture back, or cut anew; else {e.remedy}"
        raise CutError(e.where, found, e.expected, remedy) from None


def changed(document: Path, what: str, noted: str | None, now: str) -> tuple[Mistake, ...]:
    """The warning that something has changed since a piece was made of it; none where no sum was noted.

    Parameters
    ----------
    document
        The piece's.
    what
        What it was made of, for people.
    noted, now
        The sums, then and now.
    """
    if noted is None or noted == now:
        return ()
    found = f"{what} has changed since this was made of it"
    return (Mistake(str(document), None, found, "what it was made of then", "look whether all still fits"),)
