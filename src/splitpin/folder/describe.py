"""The shape of a document in plain words, read from its model.

One description serves the messages of mistakes and the reference of the film folder, so that they agree.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any, cast

from pydantic import BaseModel

from splitpin.measure.plain import NAME_PATTERN
from splitpin.measure.timecode import LABEL
from splitpin.motion.move import HAPPENING_PATTERN

Schema = Mapping[str, Any]
FAR = 1e6
"""The bound that every plain number has; said only where it is overstepped."""

PATTERNS = {
    NAME_PATTERN: "a name (letters, digits, `-`, `_`)",
    r"^[^\W_][\w-]*\.[^\W_][\w-]*$": "`piece.pin`",
    r"^[^\W_][\w-]*(\.[^\W_][\w-]*){2}$": "`member.piece.pin`",
    r"^#[0-9a-fA-F]{6}$": 'a colour such as `"#f2ead8"`',
    r"^[0-9a-f]{64}$": "64 hexadecimal digits",
    HAPPENING_PATTERN: "the name of a move, or `move.event` or `move.event.2`",
    r"^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$": "a language such as `en` or `pt-BR`, or `und`",
    f"^{LABEL.pattern}$": "a time code, `HH:MM:SS:FF` or, in drop-frame labels, `HH:MM:SS;FF`",
}
"""What each pattern of text means to a person."""

_TYPES = {"integer": "a whole number", "number": "a number", "boolean": "`true` or `false`", "string": "text"}


@cache
def schema_of(model: type[BaseModel]) -> Schema:
    """The JSON schema of a model."""
    return cast(Schema, model.model_json_schema(by_alias=True))


def resolved(root: Schema, node: Schema) -> Schema:
    """A schema node without references and without the null of an optional value."""
    while True:
        if "$ref" in node:
            target = root["$defs"][node["$ref"].rsplit("/", 1)[1]]
            node = {**target, **{k: v for k, v in node.items() if k not in ("$ref", "description")}}
        elif "anyOf" in node and len(some := [n for n in node["anyOf"] if n.get("type") != "null"]) == 1:
            node = {**some[0], **{k: v for k, v in node.items() if k != "anyOf"}}
        else:
            return node


def node_at(root: Schema, path: Sequence[str | int], data: object) -> Schema | None:
    """The schema of the value at a path of a document; None where the model says nothing."""
    node = resolved(root, root)
    for step in path:
        inner = _child(root, _chosen(root, node, data), step)
        if inner is None:
            return None
        data = _item(data, step)
        node = inner
    return _chosen(root, node, data)


def described_at(root: Schema, path: Sequence[str | int], data: object) -> str:
    """The sentence that describes a key, without the line breaks and the double ticks of its source."""
    node: Schema | None = resolved(root, root)
    text = ""
    for step in path:
        holder = _chosen(root, node or {}, data)
        raw = holder.get("properties", {}).get(step, {}) if isinstance(step, str) else {}
        text = raw.get("description", "")
        node = _child(root, holder, step)
        data = _item(data, step)
    return tidy(text)


def tidy(text: str) -> str:
    """A docstring as one line."""
    return " ".join(text.split()).replace("``", "`")


def words_for(root: Schema, node: Schema, *, brief: bool = False) -> str:
    """What may stand there.

    Parameters
    ----------
    root
        The schema of the whole document.
    node
        The schema of the value.
    brief
        Leave out the bounds that every number has.
    """
    node = resolved(root, node)
    if "const" in node:
        return f"`{literal(node['const'])}`"
    if "enum" in node:
        return "one of " + ", ".join(f"`{literal(v)}`" for v in node["enum"])
    if "oneOf" in node:
        return "a table of one of the kinds " + ", ".join(f"`{k}`" for k in kinds_of(node))
    if "anyOf" in node:
        return " or ".join(dict.fromkeys(words_for(root, n, brief=brief) for n in node["anyOf"]))
    kind = node.get("type")
    if kind in ("integer", "number"):
        return _TYPES[kind] + _bounds(node, brief)
    if kind == "string":
        return "a name" if brief and node.get("pattern") == NAME_PATTERN else _text(node)
    if kind == "array":
        return _array(root, node, brief)
    if kind == "object" or "properties" in node:
        return _table(root, node, brief)
    return _TYPES.get(str(kind), "a value")


def kinds_of(node: Schema) -> list[str]:
    """The kinds among which a table may choose, by the value of its telling key."""
    return list(node.get("discriminator", {}).get("mapping", {}))


def choices_of(node: Schema) -> list[str]:
    """The words among which a value may choose."""
    nodes = [node, *node.get("anyOf", [])]
    return [
        v for n in nodes for v in n.get("enum", [n["const"]] if "const" in n else []) if isinstance(v, str)
    ]


def literal(value: object) -> str:
    """A value as it is written in TOML, shortened when long."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        text = value if len(value) <= 60 else value[:57] + "…"
        return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'
    if isinstance(value, int) and abs(value) >= 10**18:
        return "a whole number of many digits"
    if isinstance(value, float) and value.is_integer() and abs(value) < FAR:
        return f"{value:.1f}"
    if isinstance(value, Mapping):
        inner = ", ".join(f"{k} = {literal(v)}" for k, v in value.items() if v is not None)
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(literal(v) for v in value)}]"
    return str(value)


def found_words(value: object) -> str:
    """What was found, for people: short, and with its type where that is the trouble."""
    if isinstance(value, Mapping):
        keys = ", ".join(f"`{k}`" for k in list(value)[:6])
        return f"a table with {keys}" if keys else "an empty table"
    if isinstance(value, (list, tuple)):
        return f"a list of {len(value)}" if value else "an empty list"
    if isinstance(value, str):
        return f"the text {literal(value)}" if value else "empty text"
    return literal(value)


def _bounds(node: Schema, brief: bool) -> str:
    low, high = node.get("minimum"), node.get("maximum")
    above, below = node.get("exclusiveMinimum"), node.get("exclusiveMaximum")
    if brief:
        low, high = (None if low == -FAR else low), (None if high == FAR else high)
    parts: list[str] = []
    if low is not None and high is not None:
        parts.append(f"from {low:.10g} to {high:.10g}")
    elif low is not None:
        parts.append(f"{low:g} or more")
    if above is not None:
        parts.append(f"above {above:g}")
    if below is not None:
        parts.append(f"below {below:g}")
    if high is not None and low is None:
        parts.append(f"up to {high:.10g}")
    if "multipleOf" in node:
        parts.append("even" if node["multipleOf"] == 2 else f"a multiple of {node['multipleOf']}")
    return (" " + ", ".join(parts)).rstrip() if parts else ""


def _text(node: Schema) -> str:
    if "pattern" in node:
        return PATTERNS.get(node["pattern"], f"text of the form `{node['pattern']}`")
    if node.get("format") == "spdx":
        return "an SPDX licence id, or `LicenseRef-` and a name"
    low, high = node.get("minLength", 0), node.get("maxLength")
    if low and high:
        return f"text of {low} to {high} characters"
    return f"text of up to {high} characters" if high and high != 4000 else "text"


def _array(root: Schema, node: Schema, brief: bool) -> str:
    if "prefixItems" in node:
        inner = [words_for(root, n, brief=brief) for n in node["prefixItems"]]
        if len(set(inner)) == 1:
            return f"a list of {len(inner)}, each {inner[0]}"
        return f"a list of {len(inner)}: {', '.join(inner)}"
    items = resolved(root, node.get("items", {}))
    least = " (at least one)" if node.get("minItems") == 1 else ""
    if "properties" in items or "oneOf" in items:
        return f"a list of tables{least}"
    return f"a list{least}, each {words_for(root, items, brief=brief)}"


def _table(root: Schema, node: Schema, brief: bool) -> str:
    open_node = _open(node)
    if open_node is None:
        return "a table"
    inner = resolved(root, open_node)
    least = " (at least one)" if node.get("minProperties") == 1 else ""
    if "properties" in inner or "oneOf" in inner:
        return f"a table of tables by name{least}"
    if not inner:
        return "a table of values by key"
    return f"a table by name{least}, each {words_for(root, inner, brief=brief)}"


def _open(node: Schema) -> Schema | None:
    """The schema of the values of a table whose keys are free; None for a table with fixed keys."""
    if "properties" in node:
        return None
    for inner in node.get("patternProperties", {}).values():
        return cast(Schema, inner)
    extra = node.get("additionalProperties")
    return cast(Schema, extra) if isinstance(extra, Mapping) else ({} if extra else None)


def _chosen(root: Schema, node: Schema, data: object) -> Schema:
    node = resolved(root, node)
    if "oneOf" in node and isinstance(data, Mapping):
        spec = node.get("discriminator", {})
        name, kinds = spec.get("propertyName"), spec.get("mapping", {})
        told = data.get(name)
        for kind, ref in kinds.items():
            one = resolved(root, {"$ref": ref})
            # What does not say its kind is of the one that need not say it.
            if kind == told or (told is None and one["properties"][name].get("default") == kind):
                return one
        return node
    return node


def _child(root: Schema, node: Schema, step: str | int) -> Schema | None:
    if "anyOf" in node:
        tried = (_child(root, resolved(root, n), step) for n in node["anyOf"])
        return next((inner for inner in tried if inner is not None), None)
    if isinstance(step, int):
        prefix = node.get("prefixItems")
        if prefix is not None:
            return resolved(root, prefix[step]) if step < len(prefix) else None
        return resolved(root, node["items"]) if "items" in node else None
    if step in node.get("properties", {}):
        return resolved(root, node["properties"][step])
    free = _open(node)
    return resolved(root, free) if free else None


def _item(data: object, step: str | int) -> object:
    if isinstance(data, Mapping):
        return data.get(step)
    if isinstance(data, list) and isinstance(step, int) and step < len(data):
        return data[step]
    return None
