"""The vocabulary of moves: what each is, and the keys it takes, as a form may ask for them."""

from __future__ import annotations

import inspect
from collections.abc import Mapping
from typing import Literal, NamedTuple

from splitpin.folder.describe import Schema, resolved, schema_of, tidy, words_for
from splitpin.motion import MOVES
from splitpin.motion.easing import EASES
from splitpin.motion.move import Move

Shape = Literal[
    "number", "whole", "flag", "choice", "ease", "name", "names", "text", "spot", "spots", "numbers", "table"
]
"""How a key is asked for: a spot is two numbers, mm; ``ease`` is the name of an easing, or four numbers."""
SHARED = ("name", "panel", "start", "after", "seconds", "positions", "on")
"""Keys that every move has, in the order in which a form asks for them."""


class Key(NamedTuple):
    """One key of a move."""

    key: str
    shape: Shape
    words: str
    """What may stand there, in words."""
    meaning: str
    """What it is."""
    needed: bool
    default: object
    """What holds where it is left out; None for nothing."""
    choices: tuple[str, ...]
    """What may be chosen, of a choice or an easing."""


class Kind(NamedTuple):
    """One kind of move."""

    move: str
    summary: str
    """One line."""
    told: str
    """All of it."""
    works_on: str
    """``member``, ``view`` or ``both``."""
    positions: int | None
    """How many positions it usually takes; None: to the end of its panel."""
    keys: tuple[Key, ...]
    """Its own keys, then those that all moves share."""


def vocabulary() -> tuple[Kind, ...]:
    """Every kind of move, in the order of the reference."""
    return tuple(_kind(move) for move in MOVES)


def _kind(move: type[Move]) -> Kind:
    root = schema_of(move)
    word = str(resolved(root, root["properties"]["move"])["const"])
    own = [key for key in root["properties"] if key not in (*SHARED, "move", "who")]
    keys = tuple(_key(root, key) for key in (*own, *SHARED))
    told = tidy(inspect.getdoc(move) or "")
    return Kind(word, move.summary, told, move.works_on, move.usual, keys)


def _key(root: Schema, key: str) -> Key:
    raw = root["properties"][key]
    node = resolved(root, raw)
    shape = _shape(root, key, node)
    choices = tuple(EASES) if shape == "ease" else tuple(str(v) for v in node.get("enum", ()))
    meaning = tidy(raw.get("description") or node.get("description", ""))
    words = words_for(root, node, brief=True).replace("`", "")
    return Key(key, shape, words, meaning, key in root.get("required", ()), raw.get("default"), choices)


def _shape(root: Schema, key: str, node: Schema) -> Shape:
    if key == "ease":
        return "ease"
    if "enum" in node:
        return "choice"
    if "anyOf" in node:
        return "names"
    kind = node.get("type")
    if kind == "array":
        return _list(root, node)
    if kind == "string":
        return "name" if "pattern" in node else "text"
    simple: Mapping[str, Shape] = {"number": "number", "integer": "whole", "boolean": "flag"}
    return simple.get(str(kind), "table")


def _list(root: Schema, node: Schema) -> Shape:
    if "prefixItems" in node:
        return "spot"
    items = resolved(root, node.get("items", {}))
    if "prefixItems" in items:
        return "spots"
    by_kind: Mapping[str, Shape] = {"string": "names", "number": "numbers"}
    return by_kind.get(str(items.get("type")), "table")
