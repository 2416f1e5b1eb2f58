"""From the validator's errors to faults in plain words: what was found, what was expected, what to do."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from splitpin.folder.describe import (
    Schema,
    choices_of,
    described_at,
    found_words,
    kinds_of,
    literal,
    node_at,
    schema_of,
    words_for,
)
from splitpin.folder.locate import Path
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely


def faults_in(error: ValidationError, model: type[BaseModel], data: Mapping[str, Any]) -> list[Fault]:
    """One fault for each thing that a document's model refuses."""
    root = schema_of(model)
    faults: dict[Path, Fault] = {}
    for details in error.errors(include_url=False):
        fault = _fault(details, root, data)
        faults.setdefault(fault.path, fault)
    # A value that may be of several kinds is refused by each; the refusal that went deepest is the one meant.
    inner = {p[:n] for p in faults for n in range(len(p))}
    return [f for p, f in faults.items() if p not in inner or not _several(node_at(root, p, data))]


def path_of(details: ErrorDetails, data: object) -> Path:
    """The place in the document: the validator's own steps without the names of the types it tried."""
    path: Path = ()
    node = data
    for step in details["loc"]:
        if isinstance(node, Mapping):
            if step in (node.get("move"), node.get("kind")) and step not in node:
                continue
            if step in node:
                node = node[step]
            elif step == "[key]" or details["type"] != "missing":
                continue
            path = (*path, step)
        elif isinstance(node, list) and isinstance(step, int) and step < len(node):
            node = node[step]
            path = (*path, step)
    return path


def value_at(data: object, path: Path) -> object:
    """The value at a path; None when there is none."""
    for step in path:
        if isinstance(data, Mapping):
            data = data.get(step)
        elif isinstance(data, list) and isinstance(step, int) and step < len(data):
            data = data[step]
        else:
            return None
    return data


def _fault(details: ErrorDetails, root: Schema, data: Mapping[str, Any]) -> Fault:
    path = path_of(details, data)
    key = next((str(s) for s in reversed(path) if isinstance(s, str)), "document")
    ctx: Mapping[str, Any] = details.get("ctx", {})
    kind = details["type"]
    node = node_at(root, path, data)
    if kind == "extra_forbidden":
        holder = node_at(root, path[:-1], data) or {}
        given = value_at(data, path[:-1])
        free = [k for k in holder.get("properties", {}) if not isinstance(given, Mapping) or k not in given]
        known = list(holder.get("properties", {}))
        return Fault(
            path, f"an unknown key `{key}`", f"one of {', '.join(known)}", likely(key, free or known)
        )
    given = value_at(data, path)
    if kind == "missing" and isinstance(given, list):
        expected = words_for(root, node, brief=True) if node else "a longer list"
        return Fault(
            path,
            f"`{key}` is {found_words(given)}",
            expected,
            _put_right(key, described_at(root, path, data)),
        )
    if kind == "missing":
        expected = f"`{key}`: {words_for(root, node, brief=True)}" if node else f"`{key}`"
        return Fault(path, f"no `{key}`", expected, _add(key, described_at(root, path, data)))
    if "[key]" in details["loc"]:
        return Fault(
            path,
            f"the name {literal(key)}",
            "a name of letters, digits, `-` and `_`, at most 80 long",
            "rename it",
        )
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        return _unknown_kind(path, node or {}, value_at(data, path))
    found = found_words(details["input"])
    if "remedy" in ctx:
        return Fault(path, f"`{key}` is {found}", str(ctx["expected"]), str(ctx["remedy"]))
    if kind == "value_error":
        said = str(ctx.get("error", "something else")).removeprefix("expected ")
        if isinstance(given, Mapping):
            return _of_several(path, said, given)
        return Fault(path, found, said, _put_right(key, described_at(root, path, data)))
    brief = kind.endswith(("_type", "_parsing"))
    expected = words_for(root, node, brief=brief) if node else "another value"
    if kind == "too_long" and node and "maxItems" in node:
        found = f"a list of {len(details['input'])}"
    if isinstance(details["input"], str) and node and (choices := choices_of(node)):
        remedy = likely(details["input"], choices)
    else:
        remedy = _put_right(key, described_at(root, path, data))
    return Fault(path, f"`{key}` is {found}" if path else found, expected, remedy)


def _of_several(path: Path, said: str, given: Mapping[str, Any]) -> Fault:
    """A fault that only several keys together make: ``key: what it should be``, or a choice of keys.

    It stands on the line of the key that it speaks of, the last of them where they do not go together.
    """
    key, _, wanted = said.partition(": ")
    if key in given:
        return Fault((*path, key), f"`{key}` is {literal(given[key])}", wanted, f"put `{key}` right")
    meant = [key for key in given if re.search(rf"\b{re.escape(key)}\b", said)]
    found = " and ".join(f"`{key}`" for key in meant) if meant else found_words(given)
    return Fault((*path, *meant[-1:]), found, said, "keep one of them" if meant else "add what is missing")


def _several(node: Schema | None) -> bool:
    return node is not None and "anyOf" in node


def _unknown_kind(path: Path, node: Schema, value: object) -> Fault:
    kinds = kinds_of(node)
    key = str(node.get("discriminator", {}).get("propertyName", "kind"))
    given = value.get(key) if isinstance(value, Mapping) else None
    if given is None:
        what = "move it is" if key == "move" else "kind it is of"
        return Fault((*path, key), f"no `{key}`", f"one of {', '.join(kinds)}", f"say which {what}")
    return Fault(
        (*path, key),
        f"`{key}` is {found_words(given)}",
        f"one of {', '.join(kinds)}",
        likely(str(given), kinds),
    )


def _add(key: str, described: str) -> str:
    return f"add `{key}`: {described}" if described else f"add `{key}`"


def _put_right(key: str, described: str) -> str:
    return f"put `{key}` right: {described}" if described else f"put `{key}` right"
