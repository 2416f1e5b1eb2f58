"""One document: from bytes to a value of its model, with every mistake in it."""

from __future__ import annotations

import copy
import re
import tomllib
from pathlib import Path
from typing import Any, NamedTuple

from pydantic import ValidationError

from splitpin.folder import locate
from splitpin.folder.kinds import Kind
from splitpin.folder.locate import Lines
from splitpin.folder.mistake import Mistake
from splitpin.folder.plainly import faults_in, path_of, value_at
from splitpin.folder.versions import lift
from splitpin.measure.fault import Fault
from splitpin.measure.plain import Plain

MOST_BYTES = 4 << 20
MOST_DEEP = 24
_TABLE = re.compile(r"\[+[^\]]*\]+")
_AT = re.compile(r" \(at line (\d+), column \d+\)$")


class Document(NamedTuple):
    """A document as read. It has a value when enough of it is right to go on looking for mistakes."""

    file: str
    lines: Lines
    value: Plain | None
    mistakes: tuple[Mistake, ...]
    doubtful: tuple[locate.Path, ...] = ()
    """Where keys were left out to get a value: faults found later in there may only follow from that."""

    def mistake(self, fault: Fault) -> Mistake:
        """A fault, with the file and the line it stands on; one of the whole document stands on none."""
        line = self.lines.at(fault.path) if fault.path else None
        return Mistake(self.file, line, fault.found, fault.expected, fault.remedy)

    def trusts(self, fault: Fault) -> bool:
        """Whether a fault found later stands on its own."""
        return not any(fault.path[: len(p)] == p for p in self.doubtful)


def read_file(kind: Kind, root: Path, file: str) -> Document:
    """Read a document of a film folder; whatever is wrong with it is among its mistakes."""
    path = root / file
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            return _refused(
                file, None, f"a document of {size / (1 << 20):.1f} MB", "at most 4 MB", "make it shorter"
            )
        data = path.read_bytes()
    except OSError as e:
        why = e.strerror or type(e).__name__
        return _refused(file, None, f"it cannot be read ({why})", "a text file", "look at its permissions")
    return read(kind, file, data)


def read(kind: Kind, file: str, data: bytes) -> Document:
    """Read a document from its bytes."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as e:
        line = data.count(b"\n", 0, e.start) + 1
        return _refused(file, line, "a byte that is no text in UTF-8", "text in UTF-8", "save it as UTF-8")
    if not text.strip():
        return _refused(
            file, 1, "an empty document", f"`format = {kind.version}` and more", "write it, or take it away"
        )
    try:
        raw = tomllib.loads(text)
    except RecursionError:
        return _too_deep(file)
    except ValueError as e:
        return _unreadable(file, text, e)
    if _depth(raw) > MOST_DEEP:
        return _too_deep(file)
    lifted, fault = lift(kind, raw)
    return _validated(kind, file, text, lifted, fault)


def _validated(kind: Kind, file: str, text: str, data: dict[str, Any], fault: Fault | None) -> Document:
    faults = [] if fault is None else [fault]
    value: Plain | None = None
    doubtful: tuple[locate.Path, ...] = ()
    try:
        value = kind.model.model_validate(data)
    except ValidationError as e:
        faults += faults_in(e, kind.model, data)
        value, doubtful = _rescued(kind, data, e)
    document = Document(file, Lines(text), value, (), doubtful)
    found = sorted((document.mistake(f) for f in faults), key=lambda m: m.line or 0)
    return document._replace(mistakes=tuple(found))


def _rescued(
    kind: Kind, data: dict[str, Any], error: ValidationError
) -> tuple[Plain | None, tuple[locate.Path, ...]]:
    """A value without the keys that were refused, so that one slip does not hide the mistakes after it."""
    kept = copy.deepcopy(data)
    doubtful: list[locate.Path] = []
    for details in error.errors(include_url=False):
        path = path_of(details, data)
        while path and not isinstance(path[-1], str):
            path = path[:-1]
        holder = value_at(kept, path[:-1])
        short = isinstance(value_at(data, path), list)
        if (details["type"] == "missing" and not short) or not path or not isinstance(holder, dict):
            return None, ()
        dropped = holder.pop(path[-1], None)
        whole = len(path) == 1 and isinstance(dropped, (dict, list))
        doubtful.append(() if whole else path if len(path) == 1 else path[:-1])
    try:
        return kind.model.model_validate(kept), tuple(doubtful)
    except ValidationError:
        return None, ()


def _unreadable(file: str, text: str, error: ValueError) -> Document:
    said = str(error)
    at = _AT.search(said)
    line = int(at.group(1)) if at else text.rstrip().count("\n") + 1
    rows = text.split("\n")
    row = rows[line - 1].strip() if line <= len(rows) else ""
    shown = row if len(row) <= 60 else row[:57] + "…"
    why = _AT.sub("", said).removesuffix(" (at end of document)")
    if (what := _twice(why, row)) is not None:
        return _refused(
            file, line, f"{what} stands here a second time", "each key and table once", "take one of them out"
        )
    if not isinstance(error, tomllib.TOMLDecodeError):
        why = "a number of too many digits"
    return _refused(
        file,
        line,
        f"`{shown}` cannot be read as TOML: {why[:1].lower()}{why[1:160]}",
        "TOML such as `key = value`",
        "look for a missing quote, bracket or `=` on this line or just above it",
    )


def _twice(why: str, row: str) -> str | None:
    """The key or table that is given again, where that is what the reader of TOML stumbled over."""
    if not why.lower().startswith(("cannot overwrite", "cannot declare", "cannot mutate", "cannot redefine")):
        return None
    table = _TABLE.match(row)
    return f"`{table.group() if table else row.split('=')[0].strip()}`"


def _too_deep(file: str) -> Document:
    return _refused(
        file, None, "tables within tables within tables", f"{MOST_DEEP} levels at most", "flatten it"
    )


def _refused(file: str, line: int | None, found: str, expected: str, remedy: str) -> Document:
    return Document(file, Lines(""), None, (Mistake(file, line, found, expected, remedy),))


def _depth(value: object) -> int:
    level: list[object] = [value]
    depth = 0
    while level and depth <= MOST_DEEP:
        depth += 1
        level = [
            inner
            for v in level
            if isinstance(v, (dict, list))
            for inner in (v.values() if isinstance(v, dict) else v)
            if isinstance(inner, (dict, list))
        ]
    return depth
