"""Open a found picture as it is used: decoded and made fit."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from hashlib import blake2b
from pathlib import Path
from typing import NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

from splitpin.device.beside import sweep
from splitpin.device.found import ppi_of, read_found
from splitpin.device.pictures import PictureError, read_picture, write_png
from splitpin.folder.kinds import FILM_FILE, PICTURE
from splitpin.folder.mistake import FileError, FolderError
from splitpin.folder.pictures import ENDINGS, measure_picture
from splitpin.folder.read import read_file
from splitpin.measure.likely import likely
from splitpin.picture.document import PictureDocument
from splitpin.picture.fit import fitted

Rgb = NDArray[np.uint8]

FITTING = 2
"""Counts changes to how scans are made fit: raise it and everything is fitted again."""


UNUSED = 30 * 86_400.0
"""Seconds after which a fitted picture that nobody asked for is let go."""


class Found(NamedTuple):
    """Where a found picture is and what is known of it."""

    path: Path
    """Its file."""
    name: str
    """What cut-outs call it."""
    document: PictureDocument
    """What is known of it; an empty one for a picture outside a film folder."""
    told: bool
    """Whether it has a document."""


def open_found(place: Path, name: str | None = None) -> Rgb:
    """A found picture made fit: uint8 (height, width, 3), sRGB.

    Parameters
    ----------
    place
        A film folder; or a picture's file, which is fitted by the document of its film folder when it lies in
        one.
    name
        In a film folder, the picture's name in ``pictures/``.

    Raises
    ------
    FolderError
        When there is no such picture, or it cannot be read.
    """
    return open_fitted(find_found(place, name))


def open_fitted(found: Found) -> Rgb:
    """A picture that was found, made fit; otherwise as :func:`open_found`."""
    fit = found.document.fit
    if not fit.screens:
        return fitted(as_found(found), fit)
    # smoothing dots takes long; cutting asks for the same picture again and again
    kept = found.path.parent.parent / "made" / "fitted" / f"{_key(found)}.png"
    if kept.is_file():
        with suppress(PictureError), suppress(OSError):
            kept.touch()
            return np.ascontiguousarray(read_picture(kept)[..., :3])
    rgb = fitted(as_found(found), fit)
    with suppress(OSError):
        write_png(kept, rgb)
        sweep(kept.parent, (), UNUSED)
    return rgb


def _key(found: Found) -> str:
    """A name for the picture made fit, by all that it depends on."""
    try:
        told = blake2b(found.path.read_bytes(), digest_size=20)
    except OSError as e:
        why = e.strerror or type(e).__name__
        raise FolderError(
            str(found.path), f"it cannot be read ({why})", "a picture's file", "look at its permissions"
        ) from None
    told.update(f"{FITTING} {found.document.page} {found.document.fit.model_dump_json()}".encode())
    return told.hexdigest()


def as_found(found: Found) -> Rgb:
    """The picture as it was found, decoded, before any step that makes it fit.

    Raises
    ------
    FolderError
        When it cannot be read.
    """
    with explained(found.path):
        measure_picture(found.path)
        return read_found(found.path, found.document.page).rgb


def known_ppi(found: Found, given: float | None = None) -> float | None:
    """Pixels per inch of a picture's scan: as given, else as its document, else as its file tells.

    Raises
    ------
    FolderError
        When the file is asked and cannot be read.
    """
    if (told := given or found.document.ppi) is not None:
        return told
    with explained(found.path):
        measure_picture(found.path)
        return ppi_of(found.path, found.document.page)


@contextmanager
def explained(path: Path) -> Iterator[None]:
    """Say of whatever goes wrong while a picture's file is read what to do."""
    try:
        yield
    except FileError as e:
        raise FolderError(str(path), e.found, e.expected, e.remedy) from None
    except PictureError as e:
        raise FolderError(str(path), e.found, e.expected, e.remedy) from None
    except OSError as e:
        raise FolderError(
            str(path),
            f"it cannot be read ({e.strerror or type(e).__name__})",
            "a picture's file",
            "look whether it is there and may be read",
        ) from None


def find_found(place: Path, name: str | None = None) -> Found:
    """Where a found picture is; the parameters are those of :func:`open_found`."""
    if name is not None:
        return _named(place, name)
    if place.is_dir():
        raise FolderError(str(place), "a folder", "a picture", "name a picture, or a film folder and a name")
    if place.parent.name == PICTURE.place and (place.parent.parent / FILM_FILE).is_file():
        document = place.with_suffix(".toml")
        if document.is_file():
            return Found(place, place.stem, _document(place.parent.parent, place.stem), True)
    return Found(place, place.stem, PictureDocument(format=1), False)


def pictures_in(root: Path) -> list[str]:
    """The names of the found pictures of a film folder, further pages too."""
    folder = root / PICTURE.place
    try:
        entries = [p for p in folder.iterdir() if not p.name.startswith(".")]
    except OSError:
        return []
    return sorted({p.stem for p in entries if p.suffix.lower() in {*ENDINGS, ".toml"}})


def _named(root: Path, name: str) -> Found:
    if not (root / FILM_FILE).is_file():
        raise FolderError(str(root), "no film.toml", "a film folder", "name the folder that holds film.toml")
    names = pictures_in(root)
    if name not in names:
        raise FolderError(
            f"{PICTURE.place}/{name}", "no such picture", "a picture of the film", likely(name, names)
        )
    told = (root / PICTURE.place / f"{name}.toml").is_file()
    document = _document(root, name) if told else PictureDocument(format=1)
    stem = document.of or name
    for ending in ENDINGS:
        for path in (root / PICTURE.place / f"{stem}{e}" for e in (ending, ending.upper())):
            if path.is_file():
                return Found(path, name, document, told)
    raise FolderError(
        f"{PICTURE.place}/{name}.toml",
        "no picture beside it",
        f"{stem}{' or '.join(ENDINGS)}",
        "put the file there",
    )


def _document(root: Path, name: str) -> PictureDocument:
    document = read_file(PICTURE, root, f"{PICTURE.place}/{name}.toml")
    if document.mistakes:
        first = document.mistakes[0]
        raise FolderError(first.file, first.found, first.expected, first.remedy)
    return cast(PictureDocument, document.value)
