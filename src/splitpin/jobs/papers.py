"""What a person tells of found things: written as a new document, or taken up by one that is there."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import tomlkit
from pydantic import ValidationError

from splitpin.folder.edit import Edit, changed
from splitpin.folder.kinds import Kind
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.plainly import faults_in
from splitpin.folder.read import read_file
from splitpin.folder.save import write_whole
from splitpin.jobs.ready import RefusedError

Words = dict[str, object]


class Told(NamedTuple):
    """What a person says of found things."""

    source: str = ""
    by: str = ""
    date: str = ""
    licence: str | None = None
    ppi: float | None = None
    """Pixels per inch of scans; what the files tell when left out."""
    title: str = ""


class Kept(NamedTuple):
    """What was said otherwise than a document says: the document keeps its own."""

    key: str
    noted: str
    """What the document says."""
    given: str
    """What was said now."""


class Noted(NamedTuple):
    """What became of what was told."""

    taken_up: tuple[str, ...] = ()
    """The keys that the document did not have and has now."""
    kept: tuple[Kept, ...] = ()


def said(kind: Kind, told: Told) -> Words:
    """What is told, as keys of a kind of document.

    Raises
    ------
    FolderError
        When no document can say it.
    """
    words: Words = {
        k: v for k, v in told._asdict().items() if v not in ("", None) and k in kind.model.model_fields
    }
    try:
        kind.model.model_validate({"format": kind.version} | words)
    except ValidationError as e:
        fault = faults_in(e, kind.model, words)[0]
        raise FolderError(f"--{fault.path[0]}", fault.found, fault.expected, fault.remedy) from None
    return words


def mistakes_in(root: Path, kind: Kind, document: str) -> tuple[Mistake, ...]:
    """What is wrong with a document; nothing where there is none."""
    return read_file(kind, root, document).mistakes if (root / document).exists() else ()


def take_up(root: Path, kind: Kind, document: str, told: Words, seen: Words) -> Noted:
    """Note what a document does not say yet; what it says already stays, and so do its comments.

    Parameters
    ----------
    root
        The film folder.
    kind
        The kind of document.
    document
        Its path in the folder. Where there is none it is written.
    told
        What a person says.
    seen
        What the file shows of itself, where neither the person nor the document says anything.

    Raises
    ------
    RefusedError
        When the document has mistakes.
    """
    words = seen | told
    if not (root / document).exists():
        write_whole(root / document, tomlkit.dumps({"format": kind.version} | words).encode("utf-8"))
        return Noted(tuple(words))
    read = read_file(kind, root, document)
    if read.mistakes:
        raise RefusedError(read.mistakes)
    text: str | None = (root / document).read_bytes().decode("utf-8")
    taken_up, kept = [], []
    for key, given in words.items():
        noted = getattr(read.value, key)
        if noted in ("", None):
            text = changed(Edit(document, (key,), given), text)
            taken_up.append(key)
        elif key in told and noted != given:
            kept.append(Kept(key, _text(noted), _text(given)))
    if taken_up and text is not None:  # in one writing: all of it or nothing
        write_whole(root / document, text.encode("utf-8"))
    return Noted(tuple(taken_up), tuple(kept))


def _text(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
