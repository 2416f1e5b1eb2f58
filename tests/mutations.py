"""Film folders gone wrong: one to three things are deleted, replaced or garbled in the tiny film."""

from __future__ import annotations

import copy
import shutil
import struct
import tomllib
import zlib
from pathlib import Path
from typing import Any, NamedTuple

import tomlkit
from hypothesis import strategies as st
from tests.tinyfilm import DOCUMENTS, FILES


class Mutation(NamedTuple):
    """One thing that goes wrong with one file."""

    how: str
    file: str
    data: bytes = b""
    """The new content, or the name to move or copy to."""


ODD: list[object] = [
    0, -1, 1, 3, 10**9, 10**30, -0.5, 0.001, 1e300, float("inf"), float("nan"), True, False, "", "x", "cat",
    "../x", "/", "a\0b", "é" * 5000, "view", "cat.body.paw", "pause.end", "slide", [], {}, [1, 2], ["cat"],
    [[1.0, 2.0], [3.0, 4.0]], {"x": 1}, {"x": {"y": {"z": 1}}}, [{"name": "goes"}], "24", "#000000",
    "010-hill", "hum.wav", "con", "CAT", "ball",
]  # fmt: skip
ODD_KEYS = ["x", "on", "name", "", "a b", "cat", "format", "panels", "moves", "é", "who", "seconds", "body"]

Place = tuple[str | int, ...]


def places(value: Any, at: Place = ()) -> list[Place]:
    """Every place in a document."""
    found: list[Place] = [at] if at else []
    if isinstance(value, dict):
        for key, item in value.items():
            found += places(item, (*at, key))
    elif isinstance(value, list):
        for i, item in enumerate(value):
            found += places(item, (*at, i))
    return found


@st.composite
def reworded(draw: st.DrawFn, text: str) -> bytes:
    """A document with one key or value deleted, replaced, added or doubled."""
    data: Any = copy.deepcopy(tomllib.loads(text))
    path = draw(st.sampled_from(places(data)))
    holder = data
    for step in path[:-1]:
        holder = holder[step]
    last = path[-1]
    how = draw(st.sampled_from(["delete", "set", "set", "set", "rename", "add", "double"]))
    if how == "delete":
        del holder[last]
    elif how == "set":
        holder[last] = draw(st.sampled_from(ODD))
    elif how == "rename" and isinstance(holder, dict):
        holder[draw(st.sampled_from(ODD_KEYS))] = holder.pop(last)
    elif how == "double" and isinstance(holder, list):
        holder.append(copy.deepcopy(holder[int(last)]))
    elif isinstance(holder, dict):
        holder[draw(st.sampled_from(ODD_KEYS))] = draw(st.sampled_from(ODD))
    else:
        holder.insert(int(last), draw(st.sampled_from(ODD)))
    return tomlkit.dumps(data).encode("utf-8", "surrogatepass")


@st.composite
def garbled(draw: st.DrawFn, data: bytes) -> bytes:
    """A file with bytes lost, changed or put in."""
    at = draw(st.integers(0, len(data)))
    lost = draw(st.sampled_from([0, 1, 2, 7, 100, 10**6]))
    return data[:at] + draw(st.binary(max_size=6)) + data[at + lost :]


@st.composite
def spoilt_inside(draw: st.DrawFn, data: bytes) -> bytes:
    """A PNG whose sums are right though its pixels cannot be had: what was packed is rubbish, breaks off, has
    no such filter, or is too little.
    """
    start, end = data.index(b"IDAT") - 4, data.index(b"IEND") - 4
    packed = data[start + 8 : end - 4]
    rows = zlib.decompress(packed)
    new = draw(
        st.one_of(
            st.binary(max_size=40),
            st.integers(0, len(packed)).map(lambda n: packed[:n]),
            st.integers(5, 255).map(lambda n: zlib.compress(bytes([n]) + rows[1:])),
            st.integers(0, len(rows)).map(lambda n: zlib.compress(rows[:n])),
        )
    )
    sum_ = zlib.crc32(b"IDAT" + new)
    return data[:start] + struct.pack(">I", len(new)) + b"IDAT" + new + struct.pack(">I", sum_) + data[end:]


@st.composite
def retyped(draw: st.DrawFn, text: str) -> bytes:
    """A document with a slip of the keys: a line lost, doubled, moved, or letters put into it."""
    lines = text.split("\n")
    n = draw(st.integers(0, len(lines) - 1))
    how = draw(st.sampled_from(["lose", "double", "move", "type"]))
    if how == "lose":
        del lines[n]
    elif how == "double":
        lines.insert(n, lines[n])
    elif how == "move":
        lines.insert(draw(st.integers(0, len(lines) - 1)), lines.pop(n))
    else:
        at = draw(st.integers(0, len(lines[n])))
        slip = draw(
            st.sampled_from(["=", '"', "'", "[", "]", "{", "}", ".", ",", "#", "x", "9", " ", "\\", "é"])
        )
        lines[n] = lines[n][:at] + slip + lines[n][at + draw(st.integers(0, 2)) :]
    return "\n".join(lines).encode()


@st.composite
def mutations(draw: st.DrawFn) -> list[Mutation]:
    """One to three things that go wrong."""
    return [draw(_mutation()) for _ in range(draw(st.sampled_from([1, 1, 1, 2, 3])))]


@st.composite
def _mutation(draw: st.DrawFn) -> Mutation:
    kind = draw(st.sampled_from(["document", "document", "document", "file", "file", "inside"]))
    if kind == "inside":
        file = draw(st.sampled_from(sorted(f for f in FILES if f.endswith(".png"))))
        return Mutation("write", file, draw(spoilt_inside(FILES[file])))
    if kind == "document":
        file = draw(st.sampled_from(sorted(DOCUMENTS)))
        text = DOCUMENTS[file]
        data = draw(st.one_of(reworded(text), reworded(text), retyped(text), garbled(text.encode())))
        return Mutation("write", file, data)
    everything = sorted([*DOCUMENTS, *FILES])
    file = draw(st.sampled_from(everything))
    how = draw(st.sampled_from(["delete", "write", "write", "folder", "move", "copy"]))
    if how == "write":
        whole = FILES.get(file) or DOCUMENTS[file].encode()
        return Mutation(how, file, draw(st.one_of(st.just(b""), st.binary(max_size=30), garbled(whole))))
    if how in ("move", "copy"):
        there = draw(st.sampled_from([*everything, "scenes/CON.toml", "cutouts/Ball.png", "sounds/x.mp3"]))
        return Mutation(how, file, there.encode())
    return Mutation(how, file)


def mutate(root: Path, changes: list[Mutation]) -> None:
    """Let it happen to a film folder. What cannot happen any more, does not."""
    for change in changes:
        path = root / change.file
        if not path.is_file():
            continue
        if change.how == "write":
            path.write_bytes(change.data)
        elif change.how in ("move", "copy"):
            target = root / change.data.decode()
            if not target.is_dir() and target != path:
                (shutil.copyfile if change.how == "copy" else shutil.move)(path, target)
        else:
            path.unlink()
            if change.how == "folder":
                path.mkdir()


def sources(root: Path) -> dict[str, bytes]:
    """Every file that a person made, with its content."""
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in root.rglob("*")
        if path.is_file() and path.relative_to(root).parts[0] != "made"
    }
