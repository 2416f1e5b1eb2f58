"""Exchanging a whole list of tables in a text, so that comments and spelling are kept.

Only the lines of tables that are taken away go, and only what differs in a table is written anew.
"""

from __future__ import annotations

import re
import tomllib
from collections import defaultdict, deque
from collections.abc import Mapping, Sequence
from io import StringIO
from typing import Any, NamedTuple

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import InlineTable

from splitpin.folder.locate import lines_of
from splitpin.folder.meaning import meaning

Plain = Mapping[str, Any]
NEW = -2
"""In place of the number of a table: there was none."""


class Block(NamedTuple):
    """A table of the list as it is written."""

    lead: str
    """Blank lines and comments that lead to it; those of the first one stay above the list."""
    own: str
    """From its header to its last value."""
    trail: str
    """Comments that follow close upon it."""
    value: Plain


class Listing(NamedTuple):
    """A text taken apart at the tables of a list."""

    before: str
    blocks: tuple[Block, ...]
    after: str
    """All that follows, with the comments that lead to it."""


def relist(text: str, name: str, values: Sequence[Plain]) -> str | None:
    """The text with a list of tables that says the given values; None when that list is written otherwise.

    Parameters
    ----------
    text
        Valid TOML.
    name
        The key of the list at the top of the document; a list that is not there comes at the end.
    values
        What each table shall say, as plain TOML values. One that says what a table of the list says already
        is that table; so is one that differs only within the tables it holds (``set`` of a touch). No comment
        goes but those between the lines of a table that is taken away.
    """
    listing = _listing(text, name)
    if listing is None:
        return None
    kept = _matched(listing.blocks, values)
    # What led to a table that goes leads to the next one now.
    over, leads = "", []
    for i, block in enumerate(listing.blocks):
        leads.append(_joined(over, block.lead))
        over = "" if i in kept else _joined(leads[-1], block.trail)
    written, last = listing.before, -1
    for i, value in zip(kept, values, strict=True):
        if i == NEW:
            whole = _table(name, value)
        else:
            block = listing.blocks[i]
            whole = leads[i] + _updated(name, block, value) + block.trail
        written = written + whole if last != NEW and i == last + 1 else _joined(written, whole)
        last = i
    after = _joined(over, listing.after)
    return written + after if last == len(listing.blocks) - 1 else _joined(written, after)


def _listing(text: str, name: str) -> Listing | None:
    starts = lines_of(text)
    listed = tomllib.loads(text).get(name, [])
    if (name,) not in starts:
        return Listing(text, (), "")
    heads = [starts.get((name, i), 0) - 1 for i in range(len(listed))] if isinstance(listed, list) else []
    # Not splitlines, which knows more ends of lines than TOML does.
    lines = list(StringIO(text, newline="\n"))
    if not heads or not all(lines[head].lstrip().startswith("[[") for head in heads):
        return None
    theirs = (line - 1 for path, line in starts.items() if path[0] != name and line - 1 > heads[0])
    end = min(theirs, default=len(lines))
    if end < heads[-1]:
        return None
    blocks: list[Block] = []
    lead = ""
    for value, head, following in zip(listed, heads, [*heads[1:], end], strict=True):
        close = following
        while _says_nothing(lines[close - 1]):
            close -= 1
        open_ = next((n for n in range(close, following) if not lines[n].strip()), None)
        if open_ is None:
            # Comments with no blank line at all lead to what follows, if anything does.
            open_ = close if following < len(lines) else following
        own, trail = "".join(lines[head:close]), "".join(lines[close:open_])
        blocks.append(Block(lead, own, trail, value))
        lead = "".join(lines[open_:following])
    return Listing("".join(lines[: heads[0]]), tuple(blocks), lead + "".join(lines[end:]))


def _says_nothing(line: str) -> bool:
    return not line.strip() or line.lstrip().startswith("#")


def _matched(blocks: Sequence[Block], values: Sequence[Plain]) -> list[int]:
    """For each value the block that becomes it, each block once; :data:`NEW` for none."""
    kept = [NEW] * len(values)
    for say in (meaning, lambda value: meaning({k: v for k, v in value.items() if not isinstance(v, dict)})):
        free: defaultdict[str, deque[int]] = defaultdict(deque)
        for i, block in enumerate(blocks):
            if i not in kept:
                free[say(block.value)].append(i)
        for n, value in enumerate(values):
            if kept[n] == NEW and free[say(value)]:
                kept[n] = free[say(value)].popleft()
    return kept


def _updated(name: str, block: Block, value: Plain) -> str:
    """The lines of a table with other values, as little else changed as can be."""
    if meaning(block.value) == meaning(value):
        return block.own
    for deep in (True, False):
        # The writer that keeps comments stumbles over a few rare forms; what it wrote is read back to see.
        try:
            document = tomlkit.parse(block.own)
            _change(document[name][0], block.value, value, deep=deep)
            written = tomlkit.dumps(document)
            if meaning(tomllib.loads(written)) == meaning({name: [value]}):
                return written
        except (TOMLKitError, ValueError, TypeError, LookupError, AttributeError):
            continue
    return _table(name, value)


def _change(table: Any, old: Plain, new: Plain, *, deep: bool) -> None:
    for key in old:
        if key not in new:
            del table[key]
    for key, value in new.items():
        before = old.get(key)
        if deep and isinstance(value, dict) and isinstance(before, dict):
            _change(table[key], before, value, deep=True)
        elif key not in old or meaning(before) != meaning(value):
            table[key] = inner_value(value)


def _joined(above: str, below: str) -> str:
    """Two parts of a document with one blank line between them."""
    if not above:
        return below
    above = re.sub(r"(?:[ \t\r]*\n)*[ \t]*\Z", "\n", above, count=1)
    below = re.sub(r"\A(?:[ \t\r]*\n)+", "", below)
    return f"{above}\n{below}" if below else above


def _table(name: str, value: Plain) -> str:
    table = tomlkit.table()
    for key, inner in value.items():
        table.add(key, inner_value(inner))
    listed = tomlkit.aot()
    listed.append(table)
    return tomlkit.dumps({name: listed})


def inner_value(value: object) -> object:
    """A value within a table as people write it: tables on one line, lists of tables with one on each."""
    if isinstance(value, Mapping):
        return _inline(value)
    if isinstance(value, (list, tuple)) and any(isinstance(one, Mapping) for one in value):
        listed = tomlkit.array()
        for one in value:
            listed.append(inner_value(one))
        return listed.multiline(len(value) > 1)
    return value


def _inline(value: Plain) -> InlineTable:
    # On one line, as people write them.
    table = tomlkit.inline_table()
    for key, inner in value.items():
        table.add(key, inner_value(inner))
    return table
