"""Edits are values with an inverse: what is applied can be taken back to the letter."""

from __future__ import annotations

import datetime
import os
import random
import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.tinyfilm import CAT, FILM, HILL, write_tiny

from splitpin.folder.edit import DELETED, Edit, apply, changed, inverse
from splitpin.folder.meaning import meaning
from splitpin.folder.mistake import FolderError
from splitpin.folder.save import write_whole

TEXTS = [
    FILM,
    HILL,
    CAT,
    "",
    "# only a comment\n",
    "a = 0x10 # h\nb = [ 1,\n  2, # two\n]\n[t]\nc.d = 1\n[[m]]\nx = 1 # h\n[[m]]\nx = 2\n[[m.n]]\ny = 1\n",
    'a = {b = 1, "c d" = [1, {e = 2}]}\r\n[t.u]\r\nv = """\r\nlines\r\n"""\r\n[t]\r\nw = 1979-05-27\r\n',
    "\ufeffa = 1\n[b]\nc = nan\n",
    "[a.b]\nx = 1\n[c]\ny = 2\n[a.d]\nz = 3\n",
]

keys = st.one_of(st.sampled_from(["x", "angle", "note", "a b", "é", "3"]), st.text(max_size=4))
leaves = st.one_of(
    st.integers(-(2**40), 2**40),
    st.floats(allow_nan=False),
    st.booleans(),
    st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=8),
    st.just(datetime.date(1912, 5, 31)),
)
values = st.recursive(
    leaves, lambda v: st.one_of(st.lists(v, max_size=3), st.dictionaries(keys, v, max_size=3)), max_leaves=6
)


def places(value: Any, at: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    found = [at] if at else []
    if isinstance(value, dict):
        for key, item in value.items():
            found += places(item, (*at, key))
    if isinstance(value, list):
        for i, item in enumerate(value):
            found += places(item, (*at, i))
    return found


@st.composite
def edits(draw: st.DrawFn, text: str) -> Edit:
    data = tomllib.loads(text.removeprefix("\ufeff"))
    there = places(data)
    kind = draw(st.sampled_from(["set", "delete", "new", "insert", "whole"]))
    lists = [p for p in [(), *there] if isinstance(at(data, p), list)]
    tables = [p for p in [(), *there] if isinstance(at(data, p), dict)]
    if kind == "insert" and lists:
        holder = draw(st.sampled_from(lists))
        return Edit(
            "film.toml", (*holder, draw(st.integers(0, len(at(data, holder))))), draw(values), insert=True
        )
    if kind == "delete" and there:
        return Edit("film.toml", draw(st.sampled_from(there)), DELETED)
    if kind == "set" and there:
        return Edit("film.toml", draw(st.sampled_from(there)), draw(values))
    if kind == "whole":
        return Edit("film.toml", (), draw(st.dictionaries(keys, values, max_size=3)))
    more = draw(st.lists(keys, min_size=1, max_size=2))
    return Edit("film.toml", (*draw(st.sampled_from(tables)), *more), draw(values))


def at(data: Any, path: tuple[str | int, ...]) -> Any:
    for step in path:
        data = data[step]
    return data


def settle(text: str, edit: Edit, folder: Path) -> tuple[str, Edit]:
    write_whole(folder / "film.toml", text.encode())
    back = apply(folder, edit)
    return (folder / "film.toml").read_bytes().decode(), back


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data(), text=st.sampled_from(TEXTS))
def test_an_edit_taken_back_leaves_the_same_bytes(tmp_path: Path, data: st.DataObject, text: str) -> None:
    edit = data.draw(edits(text))
    try:
        after, back = settle(text, edit, tmp_path)
    except FolderError:
        assert (tmp_path / "film.toml").read_bytes().decode() == text
        return
    again = apply(tmp_path, back)
    assert (tmp_path / "film.toml").read_bytes().decode() == text
    apply(tmp_path, again)
    assert (tmp_path / "film.toml").read_bytes().decode() == after


@settings(max_examples=300)
@given(data=st.data(), text=st.sampled_from(TEXTS))
def test_the_inverse_means_the_same_when_the_letters_no_longer_fit(data: st.DataObject, text: str) -> None:
    edit = data.draw(edits(text))
    try:
        after = changed(edit, text)
    except FolderError:
        return
    assert after is not None
    back = inverse(edit, text, after)._replace(letters=None)
    undone = changed(back, after)
    assert undone is not None
    assert meaning(tomllib.loads(undone.removeprefix("\ufeff"))) == meaning(
        tomllib.loads(text.removeprefix("\ufeff"))
    )


def comments(text: str) -> list[str]:
    return [line.partition("#")[2] for line in text.split("\n") if "#" in line and '"#' not in line]


@settings(max_examples=100)
@given(
    data=st.data(), text=st.sampled_from([FILM, TEXTS[5]]), value=leaves.filter(lambda v: "#" not in str(v))
)
def test_setting_one_value_keeps_every_comment_and_every_other_line(
    data: st.DataObject, text: str, value: object
) -> None:
    there = [
        p for p in places(tomllib.loads(text)) if not isinstance(at(tomllib.loads(text), p), (dict, list))
    ]
    after = changed(Edit("film.toml", data.draw(st.sampled_from(there)), value), text)
    assert after is not None
    assert comments(after) == comments(text)
    assert sum(a != b for a, b in zip(text.split("\n"), after.split("\n"), strict=True)) <= 1


def test_a_move_is_added_and_taken_away_again(tmp_path: Path) -> None:
    write_tiny(tmp_path)
    file = tmp_path / "scenes/010-hill.toml"
    before = file.read_bytes()
    back = apply(
        tmp_path,
        Edit("scenes/010-hill.toml", ("moves", 1), {"move": "hold", "who": "ball"}, insert=True),
    )
    assert tomllib.loads(file.read_text())["moves"][1] == {"move": "hold", "who": "ball"}
    apply(tmp_path, back)
    assert file.read_bytes() == before


def test_a_document_is_made_and_taken_away(tmp_path: Path) -> None:
    back = apply(tmp_path, Edit("scenes/new.toml", (), {"format": 1, "panels": [{"name": "a", "frames": 2}]}))
    made = (tmp_path / "scenes/new.toml").read_bytes()
    again = apply(tmp_path, back)
    assert not (tmp_path / "scenes/new.toml").exists()
    apply(tmp_path, again)
    assert (tmp_path / "scenes/new.toml").read_bytes() == made


def test_two_edits_of_different_places_can_be_taken_back_in_any_order(tmp_path: Path) -> None:
    write_tiny(tmp_path)
    file = tmp_path / "film.toml"
    before = file.read_text()
    first = apply(tmp_path, Edit("film.toml", ("title",), "A much longer title than it had before"))
    second = apply(tmp_path, Edit("film.toml", ("field_mm",), 200.0))
    apply(tmp_path, first)
    apply(tmp_path, second)
    assert file.read_text() == before


@pytest.mark.parametrize(
    "edit",
    [
        Edit("../film.toml", (), {}),
        Edit("scenes/../../x.toml", (), {}),
        Edit("takes/a/b.toml", (), {}),
        Edit("film.txt", (), {}),
        Edit("film.toml", ("title", "x"), 1),
        Edit("film.toml", ("scenes", 9), "x"),
        Edit("film.toml", ("nothing",), DELETED),
        Edit("film.toml", ("title",), None),
        Edit("film.toml", ("title",), object()),
        Edit("film.toml", (), 3),
        Edit("scenes/absent.toml", (), DELETED),
    ],
)
def test_an_edit_that_cannot_be_is_refused_and_changes_nothing(tmp_path: Path, edit: Edit) -> None:
    write_tiny(tmp_path / "film")
    before = {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
    with pytest.raises(FolderError):
        apply(tmp_path / "film", edit)
    assert {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()} == before


def test_a_failed_write_leaves_the_old_file_and_nothing_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_whole(tmp_path / "a.toml", b"old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FolderError, match="No space left"):
        write_whole(tmp_path / "a.toml", b"new")
    assert [p.name for p in tmp_path.iterdir()] == ["a.toml"]
    assert (tmp_path / "a.toml").read_bytes() == b"old"


LISTED = """\
format = 1 # first

# by hand
[[touches]]
who = "cat"  # looks up
frame = 2
set = { x = 4, head.angle = -3 }

[[touches]]
who = "dog"
frame = 3
set.x = 3

[view]
x = 1
"""


def test_exchanging_a_list_of_tables_keeps_those_that_stay_as_they_are_written() -> None:
    cat = {"who": "cat", "frame": 2, "set": {"x": 4, "head": {"angle": -3}}}
    cup = {"who": "cup", "frame": 4, "set": {"x": 1.0, "lid": {"angle": 2.5}}}
    written = changed(Edit("scenes/a.toml", ("touches",), [cat, cup]), LISTED)
    dog = LISTED[LISTED.index('who = "dog"') : LISTED.index("[view]")]
    assert written == LISTED.replace(dog, 'who = "cup"\nframe = 4\nset = {x = 1.0, lid = {angle = 2.5}}\n\n')


COMMENTED = """\
format = 1 # first

# by hand
[[touches]]
who = "cat"  # looks up
frame = 2
set = { x = 4, head.angle = -3 } # a little

# the dog
[[touches]]
who = "dog"
frame = 3
set.x = 3
# as far as it goes

# sounds
[[cues]]
sound = "a.wav"
"""
CAT_TOUCH = {"who": "cat", "frame": 2, "set": {"x": 4, "head": {"angle": -3}}}
DOG_TOUCH = {"who": "dog", "frame": 3, "set": {"x": 3}}
CUP_TOUCH = {"who": "cup", "frame": 4, "set": {"x": 1.0}}


def test_a_touch_that_changes_keeps_its_comments_and_all_around_it() -> None:
    higher = CAT_TOUCH | {"set": {"x": 5, "head": {"angle": -3}}}
    written = changed(Edit("scenes/a.toml", ("touches",), [higher, DOG_TOUCH]), COMMENTED)
    assert written == COMMENTED.replace("x = 4", "x = 5")


def test_a_new_touch_comes_after_the_last_one_before_what_leads_to_the_next_part() -> None:
    new = '\n[[touches]]\nwho = "cup"\nframe = 4\nset = {x = 1.0}\n'
    expected = COMMENTED.replace("# as far as it goes\n", "# as far as it goes\n" + new)
    whole = Edit("scenes/a.toml", ("touches",), [CAT_TOUCH, DOG_TOUCH, CUP_TOUCH])
    assert changed(whole, COMMENTED) == expected
    assert changed(Edit("scenes/a.toml", ("touches", 2), CUP_TOUCH, insert=True), COMMENTED) == expected


def test_a_touch_that_goes_takes_only_its_own_lines_with_it() -> None:
    dog = '[[touches]]\nwho = "dog"\nframe = 3\nset.x = 3\n'
    expected = COMMENTED.replace(dog, "\n")
    assert changed(Edit("scenes/a.toml", ("touches",), [CAT_TOUCH]), COMMENTED) == expected
    assert changed(Edit("scenes/a.toml", ("touches", 1), DELETED), COMMENTED) == expected


SAYS = st.dictionaries(st.sampled_from(["x", "y"]), st.integers(0, 9), min_size=1)
TOUCHES: st.SearchStrategy[dict[str, Any]] = st.fixed_dictionaries(
    {"who": st.sampled_from("ab"), "frame": st.integers(0, 2), "set": SAYS}
)
WRITTEN = st.sampled_from(["set = {{ {} }}  # set", "set = {{{}}}", "[touches.set] # set\n{}\n"])
GAPS = st.sampled_from(["", "\n", "# close\n", "\n# lead\n", "# close\n\n# part\n\n# lead\n"])


@st.composite
def touched(draw: st.DrawFn) -> str:
    """A scene with touches in many spellings and comments wherever they may stand."""
    parts = ["format = 1 # form\n", draw(GAPS)]
    for touch in draw(st.lists(TOUCHES, max_size=4)):
        spelled = draw(WRITTEN)
        said = [f"{key} = {value}" for key, value in touch["set"].items()]
        lines = spelled.format(("\n" if "[" in spelled else ", ").join(said))
        head = f'[[touches]] # head\nwho = "{touch["who"]}" # who\n# inside\nframe = {touch["frame"]}\n'
        parts += [head, lines.rstrip("\n"), "\n", draw(GAPS)]
    return "".join([*parts, *draw(st.sampled_from([[], ["[[cues]]\nsound = 'a'\n", "# end\n"]]))])


@settings(max_examples=200)
@given(text=touched(), values=st.lists(TOUCHES, max_size=5), kept=st.randoms(use_true_random=False))
def test_no_comment_goes_but_those_within_touches_that_go(
    text: str, values: list[dict[str, Any]], kept: random.Random
) -> None:
    old = tomllib.loads(text).get("touches", [])
    staying = [touch for touch in old if kept.random() < 0.7]
    new = [touch | {"set": {"x": 77}} if kept.random() < 0.5 else touch for touch in staying]
    new += [touch | {"frame": touch["frame"] + 10} for touch in values]
    written = changed(Edit("scenes/a.toml", ("touches",), new or DELETED), text) if old or new else text
    assert written is not None
    assert tomllib.loads(written).get("touches", []) == new
    around = {"form", "close", "lead", "part", "end"}
    words = [comment.strip() for comment in comments(written)]
    assert Counter(w for w in words if w in around) == Counter(
        w for w in map(str.strip, comments(text)) if w in around
    )
    assert words.count("who") == words.count("head") == len(staying)


def test_a_new_list_of_tables_is_written_as_people_write_it() -> None:
    touch = {"who": "cup", "frame": 4, "set": {"x": 1.0}}
    written = changed(Edit("scenes/a.toml", ("touches",), [touch, touch | {"frame": 6}]), "format = 1\n")
    one = '\n[[touches]]\nwho = "cup"\nframe = 4\nset = {x = 1.0}\n'
    assert written == "format = 1\n" + one + one.replace("4", "6")
