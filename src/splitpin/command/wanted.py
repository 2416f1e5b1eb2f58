"""What an option takes, in our own words: what a library says of a wrong value is written for programmers."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, get_args, get_type_hints


def wanted(command: Callable[..., None], name: str) -> str | None:
    """What a parameter of a command takes; None when that is not a number.

    Parameters
    ----------
    command
        The function whose parameters are the options.
    name
        The parameter's name.
    """
    hint = get_type_hints(command, include_extras=True).get(name)
    kind, *notes = get_args(hint) or (hint,)
    kinds = {kind, *get_args(kind)}
    if not kinds & {int, float}:
        return None
    words = "a whole number" if int in kinds else "a number"
    for note in notes:
        words += _bounds(getattr(note, "min", None), getattr(note, "max", None))
    return words


def _bounds(least: Any, most: Any) -> str:
    if least is not None and most is not None:
        return f" from {least} to {most}"
    if least is not None:
        return f", {least} or more"
    return "" if most is None else f", at most {most}"
