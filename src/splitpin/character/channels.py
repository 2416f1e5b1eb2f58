"""Channels that people write by hand: are they there, and are their values of the right kind?"""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite

from splitpin.character.figure import Figure
from splitpin.character.pose import Value, flatten
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely


def read_channels(
    nested: Mapping[str, object],
    known: Mapping[str, Value],
    figure: Figure | None,
    path: tuple[str | int, ...],
) -> tuple[dict[str, Value], list[Fault]]:
    """Flatten a table of channels and keep what can be used.

    Parameters
    ----------
    nested
        The table as written; dotted keys arrive as tables in tables.
    known
        Every channel there is, with a value of its kind.
    figure
        Whose channels they are; None for the view.
    path
        Where the table stands in its document.
    """
    good: dict[str, Value] = {}
    faults: list[Fault] = []
    for channel, value in flatten(nested):
        where = (*path, *channel.split("."))
        if channel not in known:
            faults.append(
                Fault(where, f"there is no channel {channel!r}", "a channel", likely(channel, known))
            )
            continue
        fault = wrong_value(channel, value, known[channel], figure, where)
        if fault is not None:
            faults.append(fault)
        elif isinstance(value, (bool, str)):
            good[channel] = value
        elif isinstance(value, (int, float)):
            good[channel] = float(value)
    return good, faults


def wrong_value(
    channel: str, value: object, like: Value, figure: Figure | None, path: tuple[str | int, ...]
) -> Fault | None:
    """The fault of a value of the wrong kind, or None."""
    if isinstance(like, str):
        choices = list(figure.character.pieces[channel.split(".")[0]].set) if figure else []
        if value in choices:
            return None
        return Fault(path, f"{value!r}", f"one of {', '.join(choices)}", likely(str(value), choices))
    if isinstance(like, bool):
        if isinstance(value, bool):
            return None
        return Fault(path, f"{value!r}", "true or false", "write true or false, without quotes")
    if (
        isinstance(value, bool)
        or not isinstance(value, (int, float))
        or not isfinite(value)
        or abs(value) > 1e6
    ):
        return Fault(path, f"{value!r}", "a number", "write a plain number, without quotes")
    if channel.split(".")[-1] in ("scale", "width") and value <= 0:
        return Fault(path, f"{value!r}", "a number above 0", "to take a piece away, set hidden = true")
    return None
