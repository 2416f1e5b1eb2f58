"""Bring found pictures and sounds into a film folder: looked through, copied byte for byte, noted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple, cast

from splitpin.folder.kinds import FILM_FILE, PICTURE, SOUND, Kind
from splitpin.folder.mistake import FileError, FolderError, Mistake
from splitpin.folder.naming import plain_name
from splitpin.folder.read import read_file
from splitpin.folder.tree import folded
from splitpin.jobs.look_through import ENDINGS, Seen, look_through
from splitpin.jobs.papers import Kept, Noted, Told, Words, mistakes_in, said, take_up
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.stored import known, stems, stored
from splitpin.picture.document import PictureDocument


class Brought(NamedTuple):
    """One picture, or one sound, in the folder."""

    kind: str
    """``picture`` or ``sound``."""
    file: str
    """The file that was brought."""
    name: str
    """What documents call it: a picture by its name, a sound by its file."""
    document: str
    """What is known of it, as a path in the folder."""
    duplicate: bool
    """It was in the folder already, under this name: nothing was stored."""
    taken_up: tuple[str, ...]
    """The keys that its document did not have before and has now."""
    kept: tuple[Kept, ...]
    """Where its document says something else than was told now; it was left as it is."""
    notes: tuple[str, ...]
    page: int = 1
    """The page in the file."""
    width: int | None = None
    height: int | None = None
    ppi: float | None = None
    seconds: float | None = None
    sampling: int | None = None
    """Samples a second."""
    channels: int | None = None


class _Place(NamedTuple):
    """Where a file lies in the folder, and the document of each of its pages."""

    file: str
    documents: tuple[str, ...]
    """Paths in the folder."""


Ask = Callable[[str], float | None]
"""Asks a person for the ppi of a file."""


def bring(root: Path, files: Sequence[Path], told: Told, ask: Ask | None = None) -> list[Brought]:
    """Copy pictures into ``pictures/`` and sounds into ``sounds/``, and note where they come from.

    All are looked through first; while one of them cannot be used, nothing is written. Of a TIFF of several
    pages the file is stored once, and each page is a picture. A file that is there already is not stored
    again, but its document takes up what it did not say yet.

    Parameters
    ----------
    root
        The film folder.
    files
        The pictures and sounds.
    told
        What is noted of all of them.
    ask
        Asked for the ppi of pictures that do not tell it; nobody is asked when left out.

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
        raise FolderError(
            str(root), "no file is named", "at least one picture or sound", "name pictures or sounds"
        )
    for kind in (PICTURE, SOUND):
        said(kind, told)
    seen = _all_seen(files)
    there = {kind: known(root / kind.place, ENDINGS[kind]) for kind in {s.kind for s in seen}}
    waiting = [_place(root, s.kind, there[s.kind][s.digest], s) for s in seen if s.digest in there[s.kind]]
    documents = dict.fromkeys(document for place in waiting for document in place.documents)
    kinds = {kind.place: kind for kind in (PICTURE, SOUND)}
    mistakes = [m for d in documents for m in mistakes_in(root, kinds[d.partition("/")[0]], d)]
    if mistakes:
        raise RefusedError(mistakes)
    brought: list[Brought] = []
    for one in seen:
        brought += _bring(root, one, told, there[one.kind], ask)
    return brought


def _all_seen(files: Sequence[Path]) -> list[Seen]:
    seen, mistakes = [], []
    for path in files:
        try:
            seen.append(look_through(path))
        except FileError as e:
            mistakes.append(e.mistake(str(path)))
        except OSError as e:
            why = e.strerror or type(e).__name__
            found, remedy = f"it cannot be read ({why})", "look whether it is there"
            mistakes.append(Mistake(str(path), None, found, "a picture or a sound", remedy))
    if mistakes:
        raise RefusedError(mistakes)
    return seen


def _bring(root: Path, one: Seen, told: Told, there: dict[str, str], ask: Ask | None) -> list[Brought]:
    duplicate = one.digest in there
    file = there[one.digest] if duplicate else _free(root, one)
    place = _place(root, one.kind, file, one)
    if ask is not None and not duplicate and one.pages and not (told.ppi or one.pages[0].ppi):
        told = told._replace(ppi=ask(one.path.name))
    says = said(one.kind, told)
    shown = [_shown(one, file, page) for page in range(len(place.documents))]
    if duplicate:
        noted = [
            take_up(root, one.kind, d, says, shows) for d, shows in zip(place.documents, shown, strict=True)
        ]
    else:
        noted = []
        with stored(root, one.kind, one.path, one.digest, file) as written:
            for document, shows in zip(place.documents, shown, strict=True):
                if not (root / document).exists():
                    written.append(root / document)
                noted.append(take_up(root, one.kind, document, says, shows))
        there[one.digest] = file
    return [
        _told_of(root, one, place, page, done if duplicate else Noted((), done.kept), duplicate=duplicate)
        for page, done in enumerate(noted)
    ]


def _shown(one: Seen, file: str, page: int) -> Words:
    """What the file shows of itself."""
    words: Words = {} if page else {"sha256": one.digest}
    if one.pages and (ppi := one.pages[page].ppi) is not None:
        words["ppi"] = ppi
    if len(one.pages) > 1:
        words |= {"page": page + 1} | ({"of": Path(file).stem} if page else {})
    return words


def _place(root: Path, kind: Kind, file: str, one: Seen) -> _Place:
    stem = Path(file).stem
    if kind is SOUND:
        own = f"{SOUND.place}/{file}.toml"
        folder = root / SOUND.place
        others = [p for p in folder.iterdir() if p.name != file] if folder.is_dir() else []
        shared = any(p.stem == stem and p.suffix.lower() in ENDINGS[SOUND] for p in others)
        return _Place(file, (own if shared or (root / own).exists() else f"{SOUND.place}/{stem}.toml",))
    called = dict(enumerate(_numbered(stem, len(one.pages)), start=1))
    if len(one.pages) > 1:
        called |= _further(root, stem)
    return _Place(file, tuple(f"{PICTURE.place}/{called[n + 1]}.toml" for n in range(len(one.pages))))


def _further(root: Path, stem: str) -> dict[int, str]:
    """What further pages of a picture are called, by their numbers."""
    found = {}
    for path in sorted((root / PICTURE.place).glob("*.toml")):
        value = read_file(PICTURE, root, f"{PICTURE.place}/{path.name}").value
        if value is not None and cast(PictureDocument, value).of == stem:
            found[cast(PictureDocument, value).page] = path.stem
    return found


def _numbered(name: str, pages: int) -> list[str]:
    """What the pages are called."""
    return [name, *(f"{name}-{page}" for page in range(2, pages + 1))]


def _free(root: Path, one: Seen) -> str:
    """The name of a new file: its own, or a numbered one where that is taken."""
    # A document without a file waits for a sound that is still to be recorded; this may be it.
    endings = {*ENDINGS[one.kind], *([".toml"] if one.kind is PICTURE else [])}
    taken = stems(root / one.kind.place, endings)
    name = plain_name(one.path.stem, one.kind.name)
    candidate, n = name, 1
    while any(folded(k) in taken for k in _numbered(candidate, len(one.pages))):
        n += 1
        candidate = f"{name}-{n}"
    return f"{candidate}{one.path.suffix.lower()}"


def _told_of(root: Path, one: Seen, place: _Place, page: int, noted: Noted, *, duplicate: bool) -> Brought:
    document = place.documents[page]
    if one.hearing is not None:
        return Brought(
            "sound", str(one.path), place.file, document, duplicate, noted.taken_up, noted.kept,
            one.hearing.notes, seconds=one.hearing.seconds, sampling=one.hearing.sampling,
            channels=one.hearing.channels,
        )  # fmt: skip
    seen = one.pages[page]
    says = cast(PictureDocument, read_file(PICTURE, root, document).value)
    return Brought(
        "picture", str(one.path), Path(document).stem, document, duplicate, noted.taken_up, noted.kept,
        seen.notes, page + 1, seen.width, seen.height, says.ppi,
    )  # fmt: skip
