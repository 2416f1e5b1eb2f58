"""A mistake names the line on which it stands."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from splitpin.folder.locate import line_at, lines_of

FORMS = '''\
# a comment = 1
format = 1
"a key" = 'x'
dotted.one = 2
dotted."t.wo" = 3
list = [
  "first", # with, [ ] a comment
  { x = 1, y = [ 2,
      3 ] },
  """
  many
  lines""", "after",
]
inline = { a = 1, b.c = 2 }
literal = \'\'\'
]
\'\'\'
date = 1912-05-01T10:00:00Z

[table]
key = 5 # five
[table.under]
key = 6
[["many"]]
name = "one"
[[many.more]]
name = "of one"
[[many]]
name = 'two'
  [many.sub]
  key = "x\\"]"
[[many.more]]
name = "of two"
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("format",), 2),
        (("a key",), 3),
        (("dotted", "one"), 4),
        (("dotted", "t.wo"), 5),
        (("dotted",), 4),
        (("list", 0), 7),
        (("list", 1, "x"), 8),
        (("list", 1, "y", 1), 9),
        (("list", 2), 10),
        (("list", 3), 12),
        (("inline", "b", "c"), 14),
        (("literal",), 15),
        (("date",), 18),
        (("table",), 20),
        (("table", "key"), 21),
        (("table", "under", "key"), 23),
        (("many",), 24),
        (("many", 0, "name"), 25),
        (("many", 0, "more", 0, "name"), 27),
        (("many", 1), 28),
        (("many", 1, "name"), 29),
        (("many", 1, "sub", "key"), 31),
        (("many", 1, "more", 0, "name"), 33),
        (("table", "missing"), 20),
        (("list", 1, "z"), 8),
        (("nothing", "of", "this"), 1),
    ],
)
def test_every_form_of_writing_a_value_has_its_line(path: tuple[str | int, ...], line: int) -> None:
    tomllib.loads(FORMS)
    assert line_at(lines_of(FORMS), path) == line


def test_lines_ended_in_the_windows_way_count_once() -> None:
    assert lines_of("a = 1\r\nb = [\r\n2]\r\n")[("b", 0)] == 3


def paths(value: Any, at: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    if at:
        yield at
    if isinstance(value, dict):
        for key, item in value.items():
            yield from paths(item, (*at, key))
    elif isinstance(value, list):
        for i, item in enumerate(value):
            yield from paths(item, (*at, i))


words = st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=6)
values = st.recursive(
    st.one_of(st.integers(-9, 9), st.booleans(), words),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(words, inner, max_size=3)),
    max_leaves=12,
)


@given(st.dictionaries(words, values, max_size=5))
def test_every_value_of_any_document_has_a_line_that_holds_its_key(document: dict[str, Any]) -> None:
    text = tomlkit.dumps(document)
    read = tomllib.loads(text)
    lines = lines_of(text)
    rows = text.split("\n")
    for path in paths(read):
        assert path in lines
        if isinstance(path[-1], str) and path[-1].isalnum() and path[-1].isascii():
            assert path[-1] in rows[lines[path] - 1]


@given(st.text(max_size=80), st.integers(0, len(FORMS)), st.integers(0, 20))
def test_half_written_documents_are_scanned_to_their_end(garbage: str, at: int, drop: int) -> None:
    lines_of(garbage)
    lines = lines_of(FORMS[:at] + garbage + FORMS[at + drop :])
    assert all(line >= 1 for line in lines.values())
