"""Edits of documents as values with an inverse.

Undo, redo, autosave and two open windows follow from it: an edit says which document, which place in it, and
what shall stand there; applying it gives the edit that takes it back. The inverse also remembers the very
letters it takes back, so that comments, order and spelling return exactly while nobody else changes them.
"""

from __future__ import annotations

import copy
import enum
import re
import tomllib
from pathlib import Path
from typing import Any, NamedTuple

import tomlkit
from tomlkit.exceptions import TOMLKitError

from splitpin.folder.kinds import kind_of
from splitpin.folder.locate import Path as Place
from splitpin.folder.meaning import meaning
from splitpin.folder.mistake import FileError, FolderError
from splitpin.folder.relist import inner_value, relist
from splitpin.folder.save import write_whole
from splitpin.folder.tree import Tree, clashing, short, unfit

Tables = dict[str, Any]
_BOM = "\ufeff"


class Deleted(enum.Enum):
    """The value of what is not there."""

    DELETED = "deleted"


DELETED = Deleted.DELETED


class Letters(NamedTuple):
    """A change of text: ``old`` at a place is exchanged for ``new``."""

    at: int
    old: str
    new: str


class Edit(NamedTuple):
    """One change of one document."""

    document: str
    """Its path in the film folder: ``scenes/010-wall.toml``."""
    path: Place
    """The place in it; empty for the whole document."""
    value: object
    """What shall stand there, as a plain TOML value; :data:`DELETED` takes it away."""
    insert: bool = False
    """Put the value before the item of a list that the path names (or at its end) instead of over it."""
    letters: Letters | None = None
    """The very letters, where this is the inverse of an edit; used while they still fit."""


def apply(root: Path, edit: Edit) -> Edit:
    """Make a change and give back the edit that undoes it.

    The document is written atomically; comments, order and spelling of all that the edit does not name are
    kept. It may become one that `check` finds mistakes in, but never one that is not TOML.

    Raises
    ------
    FolderError
        When the document or the place in it is not there, the value cannot stand in TOML, or nothing can be
        written.
    """
    file = _file(root, edit.document)
    before = _text(file, edit.document)
    after = changed(edit, before)
    if after is None:
        try:
            file.unlink()
        except OSError as e:
            raise _refused(edit, f"it cannot be taken away ({e.strerror})", "a file that may be") from e
    elif after != before:
        write_whole(file, after.encode("utf-8"))
    return inverse(edit, before, after)


def changed(edit: Edit, text: str | None) -> str | None:
    """The text of a document after an edit; None stands for no document."""
    if not edit.path and edit.value is DELETED:
        if text is None:
            raise _refused(edit, "no such document", "one that is there")
        return None
    old = _parsed(edit, text or "")
    new = _put(edit, old)
    if edit.letters is not None:
        at, was, becomes = edit.letters
        whole = text or ""
        if whole[at : at + len(was)] == was:
            candidate = whole[:at] + becomes + whole[at + len(was) :]
            if _means(candidate, new):
                return candidate
    return _written(edit, text or "", new)


def inverse(edit: Edit, before: str | None, after: str | None) -> Edit:
    """The edit that takes another back, given the document's text before and after it."""
    if before is None:
        return Edit(edit.document, (), DELETED)
    letters = _difference(after or "", before)
    old = _parsed(edit, before)
    if after is None or not edit.path:
        return Edit(edit.document, (), old, letters=letters)
    if edit.insert:
        holder = _at(old, edit.path[:-1])
        place = (*edit.path[:-1], min(int(edit.path[-1]), len(holder) if isinstance(holder, list) else 0))
        return Edit(edit.document, place, DELETED, letters=letters)
    if edit.value is DELETED:
        return Edit(
            edit.document, edit.path, _at(old, edit.path), isinstance(edit.path[-1], int), letters=letters
        )
    for n in range(1, len(edit.path) + 1):
        if _at(old, edit.path[:n]) is DELETED:
            return Edit(edit.document, edit.path[:n], DELETED, letters=letters)
    return Edit(edit.document, edit.path, _at(old, edit.path), letters=letters)


def _put(edit: Edit, data: Tables) -> Tables:
    """The edit on plain tables: what the document must mean afterwards."""
    value = copy.deepcopy(edit.value)
    if not edit.path:
        if not isinstance(value, dict):
            raise _refused(edit, "a value for a whole document", "a table")
        return value
    new = copy.deepcopy(data)
    holder: Any = new
    for step in edit.path[:-1]:
        if isinstance(holder, dict) and isinstance(step, str) and value is not DELETED:
            holder = holder.setdefault(step, {})
        else:
            holder = _step(holder, step)
    last = edit.path[-1]
    if isinstance(holder, dict) and isinstance(last, str) and not edit.insert:
        if value is not DELETED:
            holder[last] = value
            return new
        if last in holder:
            del holder[last]
            return new
    if isinstance(holder, list) and isinstance(last, int) and last >= 0:
        if edit.insert and last <= len(holder):
            holder.insert(last, value)
            return new
        if not edit.insert and last < len(holder):
            if value is DELETED:
                del holder[last]
            else:
                holder[last] = value
            return new
    place = ".".join(str(s) for s in edit.path)
    raise _refused(edit, f"nothing at {place}", "a place that is in the document")


def _written(edit: Edit, text: str, new: Tables) -> str:
    """The text with the change in it, as little else changed as can be."""
    bom = _BOM if text.startswith(_BOM) else ""
    plain = text.removeprefix(_BOM)
    tries = [edit]
    if len(edit.path) > 1 and edit.path[0] in new:
        tries.append(Edit(edit.document, edit.path[:1], new[str(edit.path[0])]))
    for attempt in tries if edit.path else ():
        # The writer that keeps comments stumbles over a few rare forms; what it wrote is read back to see.
        try:
            written = _relisted(attempt, plain, new)
            if written is None:
                document = tomlkit.parse(plain)
                _place(document, attempt)
                written = tomlkit.dumps(document)
            candidate = bom + _line_ends(written, text)
        except (TOMLKitError, ValueError, TypeError, LookupError, AttributeError):
            continue
        if _means(candidate, new):
            return candidate
    try:
        candidate = bom + _line_ends(tomlkit.dumps(new), text)
    except (TOMLKitError, ValueError, TypeError) as e:
        raise _refused(edit, f"a value that cannot be written: {edit.value!r}"[:200], "a TOML value") from e
    if not _means(candidate, new):
        raise _refused(edit, f"a value that cannot be written: {edit.value!r}"[:200], "a TOML value")
    return candidate


def _relisted(edit: Edit, text: str, new: Tables) -> str | None:
    """The text after an edit of a list of tables, or of a whole table in one; None when it is of another."""
    name = str(edit.path[0])
    values = new.get(name, [])
    whole = len(edit.path) == 1 or (len(edit.path) == 2 and isinstance(edit.path[1], int))
    tables = isinstance(values, list) and all(isinstance(value, dict) for value in values)
    if not whole or not tables or not (values or edit.value is DELETED):
        return None
    return relist(text, name, values)


def _place(document: tomlkit.TOMLDocument, edit: Edit) -> None:
    holder: Any = document
    for step in edit.path[:-1]:
        if isinstance(step, str) and step not in holder:
            holder[step] = tomlkit.table()
        holder = holder[step]
    last = edit.path[-1]
    if edit.value is DELETED:
        del holder[last]
    else:
        value = inner_value(edit.value) if len(edit.path) > 2 else edit.value
        if edit.insert:
            holder.insert(last, value)
        else:
            holder[last] = value


def _line_ends(written: str, text: str) -> str:
    if "\r\n" in text and not re.search(r"(?<!\r)\n", text):
        return re.sub(r"(?<!\r)\n", "\r\n", written)
    return written


def _means(text: str, data: Tables) -> bool:
    try:
        return meaning(tomllib.loads(text.removeprefix(_BOM))) == meaning(data)
    except (ValueError, RecursionError):
        return False


def _difference(old: str, new: str) -> Letters:
    shorter = min(len(old), len(new))
    start = next((i for i, (a, b) in enumerate(zip(old, new, strict=False)) if a != b), shorter)
    longest = shorter - start
    end = 0
    while end < longest and old[-1 - end] == new[-1 - end]:
        end += 1
    return Letters(start, old[start : len(old) - end], new[start : len(new) - end])


def _step(holder: object, step: str | int) -> object:
    if isinstance(holder, dict) and isinstance(step, str) and step in holder:
        return holder[step]
    if isinstance(holder, list) and isinstance(step, int) and 0 <= step < len(holder):
        return holder[step]
    return DELETED


def _at(data: object, path: Place) -> object:
    for step in path:
        data = _step(data, step)
    return data


def _file(root: Path, document: str) -> Path:
    if kind_of(document) is None:
        raise FolderError(
            document, "no place for a document", "a path such as scenes/NAME.toml", "name a document"
        )
    file = root / document
    try:
        if file.exists() or file.is_symlink():
            return Tree(root).find(document)
        _refuse_name(Tree(root), document)
        if not file.parent.resolve().is_relative_to(root.resolve()) or ".." in document:
            raise FileError("a path out of the film folder", "one inside", "name a document of this film")
    except FileError as e:
        if file.is_file() and file.stat().st_size == 0:
            return file
        raise FolderError(document, e.found, e.expected, e.remedy) from None
    return file


def _refuse_name(tree: Tree, document: str) -> None:
    """See that a new document can stand beside the others on every computer."""
    folder, _, name = document.rpartition("/")
    if (why := unfit(name)) is not None:
        raise FileError(f"the name {short(name)}", why, "choose another name")
    if (same := clashing(name, tree.names(folder))) is not None:
        raise FileError(
            f"{same} is there and differs only in capitals or accents' coding",
            "a name that differs on every computer",
            "choose another name",
        )


def _text(file: Path, document: str) -> str | None:
    try:
        return file.read_bytes().decode("utf-8") if file.exists() else None
    except (OSError, UnicodeDecodeError) as e:
        raise FolderError(document, "it cannot be read as text", "TOML in UTF-8", "look at the file") from e


def _parsed(edit: Edit, text: str) -> Tables:
    try:
        return tomllib.loads(text.removeprefix(_BOM))
    except (ValueError, RecursionError) as e:
        raise _refused(edit, "a document that is not TOML", "one that `check` can read") from e


def _refused(edit: Edit, found: str, expected: str) -> FolderError:
    return FolderError(edit.document, found, expected, "look at the document as it is now")
