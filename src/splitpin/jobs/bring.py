"""Bring found pictures into a film folder: looked through, copied byte for byte, noted."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

import tomlkit
from pydantic import ValidationError

from splitpin.device.beside import beside
from splitpin.device.found import read_found
from splitpin.device.pictures import PictureError
from splitpin.folder.kinds import FILM_FILE, PICTURE
from splitpin.folder.mistake import FileError, FolderError, Mistake
from splitpin.folder.naming import plain_name
from splitpin.folder.pictures import ENDINGS, measure_picture
from splitpin.folder.plainly import faults_in
from splitpin.folder.save import write_whole
from splitpin.folder.tree import folded
from splitpin.jobs.ready import RefusedError
from splitpin.picture.document import PictureDocument


class Told(NamedTuple):
    """What a person says of the pictures."""

    source: str = ""
    by: str = ""
    date: str = ""
    licence: str | None = None
    ppi: float | None = None
    """Pixels per inch of the scan; what the files tell when left out."""


class Brought(NamedTuple):
    """One picture in the folder."""

    file: str
    """The file that was brought."""
    name: str
    """What it is called in the folder."""
    page: int
    """Its page in the file."""
    width: int
    height: int
    ppi: float | None
    duplicate: bool
    """It was in the folder already, under this name: nothing was stored."""
    notes: tuple[str, ...]


class _Page(NamedTuple):
    width: int
    height: int
    ppi: float | None
    notes: tuple[str, ...]


class _Seen(NamedTuple):
    path: Path
    digest: str
    pages: tuple[_Page, ...]


Ask = Callable[[str], float | None]
"""Asks a person for the ppi of a file."""


def bring(root: Path, files: Sequence[Path], told: Told, ask: Ask | None = None) -> list[Brought]:
    """Copy pictures into ``pictures/`` and note where they come from.

    All are looked through first; while one of them cannot be used, nothing is written. Of a TIFF of several
    pages the file is stored once, and each page is a picture.

    Parameters
    ----------
    root
        The film folder.
    files
        The pictures.
    told
        What is noted of all of them.
    ask
        Asked for the ppi of files that do not tell it; nobody is asked when left out.

    Raises
    ------
    FolderError
        When there is no film folder, or what is told cannot be noted.
    RefusedError
        With every file that cannot be used, and why.
    """
    if not (root / FILM_FILE).is_file():
        raise FolderError(str(root), "no film.toml", "a film folder", "make one with `splitpin new FOLDER`")
    if not files:
        raise FolderError(str(root), "no picture is named", "at least one picture", "name picture files")
    _document(told, {})
    seen, mistakes = [], []
    for path in files:
        try:
            seen.append(_look(path))
        except FileError as e:
            mistakes.append(e.mistake(str(path)))
        except PictureError as e:
            mistakes.append(Mistake(str(path), None, e.found, e.expected, e.remedy))
        except OSError as e:
            why = e.strerror or type(e).__name__
            mistakes.append(
                Mistake(
                    str(path), None, f"it cannot be read ({why})", "a picture", "look whether it is there"
                )
            )
    if mistakes:
        raise RefusedError(mistakes)
    folder = root / PICTURE.place
    known = _known(folder)
    taken = {folded(p.stem) for p in folder.iterdir()} if folder.is_dir() else set()
    brought: list[Brought] = []
    for picture in seen:
        duplicate = picture.digest in known
        name = known[picture.digest] if duplicate else _free(plain_name(picture.path.stem), picture, taken)
        results = [
            Brought(
                str(picture.path), called, i + 1, page.width, page.height, told.ppi or page.ppi, duplicate,
                page.notes,
            )
            for i, (called, page) in enumerate(zip(_numbered(name, picture), picture.pages, strict=True))
        ]  # fmt: skip
        if not duplicate:
            if ask is not None and results[0].ppi is None:
                answer = ask(picture.path.name)
                results = [r._replace(ppi=r.ppi or answer) for r in results]
            _store(root, picture, told, results)
            known[picture.digest] = name
            taken |= {folded(r.name) for r in results}
        brought += results
    return brought


def _look(path: Path) -> _Seen:
    """Decode every page, so that nothing broken is ever stored; the pixels themselves are let go."""
    if path.suffix.lower() not in ENDINGS:
        kinds = ", ".join(ENDINGS)
        raise FileError(
            f"its name ends in {path.suffix or 'nothing'}", f"a picture: {kinds}", "save it as one of these"
        )
    measure_picture(path)
    pages: list[_Page] = []
    count = 1
    while len(pages) < count:
        picture = read_found(path, len(pages) + 1)
        count = picture.pages
        pages.append(_Page(picture.rgb.shape[1], picture.rgb.shape[0], picture.ppi, picture.notes))
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
    return _Seen(path, digest, tuple(pages))


def _known(folder: Path) -> dict[str, str]:
    """The pictures of the folder by their SHA-256 sums."""
    if not folder.is_dir():
        return {}
    known: dict[str, str] = {}
    for path in sorted(folder.iterdir()):
        if path.suffix.lower() in ENDINGS and path.is_file() and not path.name.startswith("."):
            with path.open("rb") as file:
                known.setdefault(hashlib.file_digest(file, "sha256").hexdigest(), path.stem)
    return known


def _free(name: str, picture: _Seen, taken: set[str]) -> str:
    candidate, n = name, 1
    while any(folded(k) in taken for k in _numbered(candidate, picture)):
        n += 1
        candidate = f"{name}-{n}"
    return candidate


def _numbered(name: str, picture: _Seen) -> list[str]:
    """What the pages are called."""
    return [name, *(f"{name}-{page}" for page in range(2, len(picture.pages) + 1))]


def _store(root: Path, picture: _Seen, told: Told, results: Sequence[Brought]) -> None:
    """The file byte for byte, and a document for each page; all of them or none."""
    folder = root / PICTURE.place
    target = folder / f"{results[0].name}{picture.path.suffix.lower()}"
    written: list[Path] = []
    try:
        with beside(target) as part:
            shutil.copyfile(picture.path, part)
            with part.open("rb") as file:
                if hashlib.file_digest(file, "sha256").hexdigest() != picture.digest:
                    raise FolderError(
                        str(picture.path), "it changed while it was read", "a file at rest", "bring it again"
                    )
        written.append(target)
        for r in results:
            extra: dict[str, object] = {"sha256": picture.digest} if r.page == 1 else {}
            if r.ppi is not None:
                extra["ppi"] = r.ppi
            if len(results) > 1:
                extra |= {"page": r.page} if r.page == 1 else {"of": results[0].name, "page": r.page}
            path = folder / f"{r.name}.toml"
            write_whole(path, _document(told, extra).encode("utf-8"))
            written.append(path)
    except OSError as e:
        _take_back(written)
        raise FolderError(
            f"{PICTURE.place}/{target.name}",
            f"it cannot be written ({e.strerror or type(e).__name__})",
            "a place that may be written to",
            "look at permissions and free space",
        ) from e
    except BaseException:
        _take_back(written)
        raise


def _take_back(written: Sequence[Path]) -> None:
    for path in written:
        path.unlink(missing_ok=True)


def _document(told: Told, extra: dict[str, object]) -> str:
    """The text of a picture's document.

    Raises
    ------
    FolderError
        When it would not be a good one.
    """
    says: dict[str, object] = {"format": 1}
    says |= {k: v for k, v in told._asdict().items() if v and k != "ppi"}
    if told.ppi is not None:
        says["ppi"] = told.ppi
    says |= extra
    try:
        PictureDocument.model_validate(says)
    except ValidationError as e:
        fault = faults_in(e, PictureDocument, says)[0]
        raise FolderError(f"--{fault.path[0]}", fault.found, fault.expected, fault.remedy) from None
    return tomlkit.dumps(says)
