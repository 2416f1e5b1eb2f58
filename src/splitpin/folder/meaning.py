"""What a TOML value means, whatever way it is written."""

from __future__ import annotations


def meaning(value: object) -> str:
    """What a plain TOML value means, whatever its keys' order: equal texts mean the same."""
    # Text, because nan is not equal to itself and true is equal to 1.
    if isinstance(value, dict):
        return "{" + ",".join(f"{k!r}:{meaning(value[k])}" for k in sorted(value, key=str)) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ",".join(meaning(v) for v in value) + "]"
    return repr(value)
