"""Bring found pictures and sounds into a film folder: looked through, copied byte for byte, noted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from itertools import count
from pathlib import Path
from typing import NamedTuple, cast

from splitpin.device.lock import alone_in
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
    duplicate: bool
    """It is there already."""


MADE, LOCK = "made", "bringing.lock"
"""Where the file lies that lets one bring things in at a time."""
PATIENCE = 60.0
"""Seconds to wait for another who does."""

Ask = Callable[[str], float | None]
"""Asks a person for the ppi of a file."""


def bring(
    root: Path,
    files: Sequence[Path],
    told: Told,
    ask: Ask | None = None,
    writing: AbstractContextManager[object] | None = None,
) -> list[Brought]:
    """Copy pictures into ``pictures/`` and sounds into ``sounds/``, and note where they come from.

    All are looked through first, and whoever brings them is asked; while one of them cannot be used, or a
    document with mistakes waits for one, nothing is written. Of a TIFF of several pages the file is stored
    once, and each page is a picture. A file that is there already is not stored again, but its document takes
    up what it did not say yet.

    Parameters
    ----------
    root
        The film folder.
    files
        The pictures and sounds.
    told
        What is noted of all of them.
    ask
        Asked for the ppi of pictures that have a page that does not tell it; the answer holds for such pages
        alone. Nobody is asked when left out, or when a ppi is told: that one holds for every page.
    writing
        Entered when all is looked through and the writing begins.

    Raises
    ------
    FolderError
        When there is no film folder, what is told cannot be noted, or others are bringing things in all the
        while.
    RefusedError
        With every file that cannot be used, and every mistake of documents about the files.
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
    answers = [_answer(one, place, told, ask) for one, place in zip(seen, _checked(root, seen), strict=True)]
    # Names are given and files put there by one at a time: two would give the same name to two things.
    alone = alone_in(root / MADE, LOCK, "something is being brought in already", PATIENCE)
    with alone, writing or nullcontext():
        places = _checked(root, seen)
        brought: list[Brought] = []
        for one, place, answer in zip(seen, places, answers, strict=True):
            brought += _bring(root, one, place, told, answer)
    return brought


def _checked(root: Path, seen: Sequence[Seen]) -> list[_Place]:
    """Where each of the files goes, while no document about them has mistakes."""
    places = _places(root, seen)
    documents = {d: one.kind for one, place in zip(seen, places, strict=True) for d in place.documents}
    mistakes = [m for document, kind in documents.items() for m in mistakes_in(root, kind, document)]
    if mistakes:
        raise RefusedError(mistakes)
    return places


def _answer(one: Seen, place: _Place, told: Told, ask: Ask | None) -> float | None:
    """What is answered of the ppi of a new picture of which not every page tells it."""
    if ask is None or place.duplicate or told.ppi or all(page.ppi for page in one.pages):
        return None
    answer = ask(one.path.name)
    said(one.kind, told._replace(ppi=answer))
    return answer


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


def _places(root: Path, seen: Sequence[Seen]) -> list[_Place]:
    """Where each of the files goes, or lies already: what is decided here is only written afterwards."""
    there = {kind: known(root / kind.place, ENDINGS[kind]) for kind in {s.kind for s in seen}}
    # A document without a file waits for a sound that is still to be recorded; this may be it.
    named = {PICTURE: {*ENDINGS[PICTURE], ".toml"}, SOUND: {*ENDINGS[SOUND]}}
    taken = {kind: stems(root / kind.place, named[kind]) for kind in there}
    documents: dict[tuple[Kind, str], tuple[str, ...]] = {}
    places = []
    for one in seen:
        kind, files = one.kind, there[one.kind]
        duplicate = one.digest in files
        file = files[one.digest] if duplicate else _free(one, taken[kind])
        files[one.digest] = file
        if (kind, file) not in documents:
            own = [_sound_document(root, file)] if kind is SOUND else _pages(root, file, one, taken[kind])
            documents[kind, file] = tuple(f"{kind.place}/{name}.toml" for name in own)
            taken[kind] |= {folded(name) for name in (Path(file).stem, *own)}
        places.append(_Place(file, documents[kind, file], duplicate))
    return places


def _bring(root: Path, one: Seen, place: _Place, told: Told, answer: float | None) -> list[Brought]:
    file = place.file
    says = said(one.kind, told)
    shown = [_shown(one, file, page, answer) for page in range(len(place.documents))]
    if place.duplicate:
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
    return [
        _told_of(root, one, place, page, done if place.duplicate else Noted((), done.kept))
        for page, done in enumerate(noted)
    ]


def _shown(one: Seen, file: str, page: int, answer: float | None) -> Words:
    """What the file shows of itself, or else was answered of its ppi."""
    words: Words = {} if page else {"sha256": one.digest}
    if one.pages and (ppi := one.pages[page].ppi or answer) is not None:
        words["ppi"] = ppi
    if len(one.pages) > 1:
        words |= {"page": page + 1} | ({"of": Path(file).stem} if page else {})
    return words


def _sound_document(root: Path, file: str) -> str:
    """What a sound's document is called: with the ending where another sound has the same name."""
    folder, stem = root / SOUND.place, Path(file).stem
    others = [p for p in folder.iterdir() if p.name != file] if folder.is_dir() else []
    shared = any(p.stem == stem and p.suffix.lower() in ENDINGS[SOUND] for p in others)
    return file if shared or (folder / f"{file}.toml").exists() else stem


def _pages(root: Path, file: str, one: Seen, taken: set[str]) -> list[str]:
    """What the pages of a picture are called: as documents say, else by numbers that nothing else has."""
    stem = Path(file).stem
    names, used = [stem], {folded(stem), *taken}
    told = _further(root, stem, len(one.pages)) if len(one.pages) > 1 else {}
    for page in range(2, len(one.pages) + 1):
        numbered = (f"{stem}-{n}" for n in count(page))
        names.append(told.get(page) or next(name for name in numbered if folded(name) not in used))
        used.add(folded(names[-1]))
    return names


def _further(root: Path, stem: str, pages: int) -> dict[int, str]:
    """What documents call further pages of a picture, by their numbers."""
    found, unread = {}, {}
    numbers = {name: page for page, name in enumerate(_numbered(stem, pages), start=1)}
    for path in sorted((root / PICTURE.place).glob("*.toml")):
        value = read_file(PICTURE, root, f"{PICTURE.place}/{path.name}").value
        if value is not None and cast(PictureDocument, value).of == stem:
            found[cast(PictureDocument, value).page] = path.stem
        elif value is None and path.stem in numbers:  # it may be that page's: its mistakes are told
            unread[numbers[path.stem]] = path.stem
    return unread | found


def _numbered(name: str, pages: int) -> list[str]:
    """What the pages are called where these names are free."""
    return [name, *(f"{name}-{page}" for page in range(2, pages + 1))]


def _free(one: Seen, taken: set[str]) -> str:
    """The name of a new file: its own, or a numbered one where that is taken."""
    name = plain_name(one.path.stem, one.kind.name)
    candidate, n = name, 1
    while any(folded(k) in taken for k in _numbered(candidate, len(one.pages))):
        n += 1
        candidate = f"{name}-{n}"
    return f"{candidate}{one.path.suffix.lower()}"


def _told_of(root: Path, one: Seen, place: _Place, page: int, noted: Noted) -> Brought:
    document, duplicate = place.documents[page], place.duplicate
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
