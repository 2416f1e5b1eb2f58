"""Exchanging a whole list of tables, so that the tables that stay keep their comments and their spelling."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

import tomlkit
from tomlkit.items import AoT, InlineTable, Table


def relist(listed: AoT, values: Sequence[Mapping[str, object]]) -> None:
    """Let a list of tables hold the given values.

    Parameters
    ----------
    listed
        The list in its document; it is changed in place.
    values
        What each table shall say, as plain TOML values. One that says what a table of the list says
        already is that table, with all that stands in it.
    """
    followed = bool(listed.body) and _ends_blank(listed.body[-1])
    kept: defaultdict[str, list[Table]] = defaultdict(list)
    for table in reversed(list(listed)):
        kept[_means(table)].append(table)
    while len(listed):
        del listed[-1]
    for n, value in enumerate(values, start=1):
        same = kept[_means(value)]
        table = same.pop() if same else _table(value)
        if not _ends_blank(table) and (n < len(values) or followed):
            table.add(tomlkit.nl())
        listed.append(table)
        table.trivia.indent = table.trivia.indent.lstrip("\n")  # the blank line is there already


def _ends_blank(table: Table) -> bool:
    return table.as_string().endswith("\n\n")


def _means(value: Mapping[str, object]) -> str:
    plain = value.unwrap() if isinstance(value, Table) else value
    return repr(sorted((key, repr(inner)) for key, inner in plain.items()))


def _table(value: Mapping[str, object]) -> Table:
    table = tomlkit.table()
    for key, inner in value.items():
        table.add(key, _inline(inner) if isinstance(inner, Mapping) else inner)
    return table


def _inline(value: Mapping[str, object]) -> InlineTable:
    # On one line, as people write them.
    table = tomlkit.inline_table()
    for key, inner in value.items():
        table.add(key, _inline(inner) if isinstance(inner, Mapping) else inner)
    return table
