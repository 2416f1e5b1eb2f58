"""Touches: a hand on single exposures."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from splitpin.character.channels import read_channels
from splitpin.character.figure import Figure
from splitpin.character.pose import Value, flatten
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.scene.scene import Scene, Touch
from splitpin.sheet.csv import Change, same
from splitpin.sheet.rows import Touches
from splitpin.sheet.sheet import Row, Sheet
from splitpin.sheet.timing import Timing, unknown_panel


def lay_touches(
    scene: Scene,
    timing: Timing,
    starts: Sequence[int],
    opening: Mapping[str, Mapping[str, Value]],
    figures: Mapping[str, Figure],
) -> tuple[Touches, list[Fault]]:
    """The touches of a scene by the exposure that each lies on.

    Parameters
    ----------
    scene, timing, figures
        What the scene says, its clock and its cast.
    starts
        The first frame of each exposure, in order.
    opening
        Every channel of every member and of the view.
    """
    faults: list[Fault] = []
    touches: Touches = {}
    for i, touch in enumerate(scene.touches):
        panel = timing.panel(touch.panel)
        if panel is None:
            faults.append(unknown_panel(timing, touch.panel or "", ("touches", i, "panel")))
        elif touch.frame >= panel.frames:
            faults.append(
                Fault(
                    ("touches", i, "frame"),
                    f"frame {touch.frame} of panel {panel.name}, which has {panel.frames}",
                    f"0 to {panel.frames - 1}",
                    "touch an exposure that is there",
                )
            )
        elif touch.who not in opening:
            faults.append(
                Fault(
                    ("touches", i, "who"),
                    f"{touch.who!r} is not in the cast",
                    "a member",
                    likely(touch.who, opening),
                )
            )
        else:
            values, found = read_channels(
                touch.set, opening[touch.who], figures.get(touch.who), ("touches", i, "set")
            )
            faults += found
            frame = starts[bisect_right(starts, panel.start + touch.frame) - 1]
            touches.setdefault(frame, {}).setdefault(touch.who, {}).update(values)
    return touches, faults


def touched(touches: Sequence[Touch], sheet: Sheet) -> dict[tuple[int, str], list[int]]:
    """The places of touches in their list, by the first frame of the exposure and the member."""
    rows: defaultdict[str, list[Row]] = defaultdict(list)
    for row in sheet.rows:
        rows[row.panel].append(row)
    lying: defaultdict[tuple[int, str], list[int]] = defaultdict(list)
    for i, touch in enumerate(touches):
        theirs = rows[touch.panel or sheet.panels[0][0]]
        at = max(0, bisect_right(theirs, touch.frame, key=lambda row: row.since) - 1)
        lying[theirs[at].frame, touch.who].append(i)
    return dict(lying)


class Retouched(NamedTuple):
    """The touches of a scene after changes."""

    touches: list[Touch]
    """All of them; those that were not concerned are the same objects."""
    added: int
    changed: int
    removed: int


def retouch(touches: Sequence[Touch], sheet: Sheet, plan: Sheet, changes: Iterable[Change]) -> Retouched:
    """Let touches say what was changed.

    An exposure of a member that has a touch already keeps that one, changed; a value set back to that of the
    plan is touched no more; a touch that says nothing any longer is taken away.

    Parameters
    ----------
    touches
        The touches that the scene has.
    sheet, plan
        Its sheet, and its sheet without any touch.
    changes
        What shall be different from the sheet.
    """
    planned = {row.frame: row for row in plan.rows}
    lying = touched(touches, sheet)
    said: dict[int, dict[str, object]] = {}
    new: list[Touch] = []
    for frame, who, values in changes:
        here = lying.get((frame, who), [])
        for i in here:
            said[i] = {c: v for c, v in flatten(touches[i].set) if c not in values}
        row = planned[frame]
        off = {c: value for c, value in values.items() if not same(value, row.poses[who][c])}
        if here:
            said[here[-1]] |= off
        elif off:
            new.append(Touch(who=who, panel=row.panel, frame=row.since, set=_nested(off)))
    old = [
        touch.model_copy(update={"set": _nested(said[i])}) if i in said else touch
        for i, touch in enumerate(touches)
        if i not in said or said[i]
    ]
    removed = len(touches) - len(old)
    return Retouched(old + new, len(new), len(said) - removed, removed)


def _nested(channels: Mapping[str, object]) -> dict[str, object]:
    """Channels as a person writes them: ``head.angle`` is a key within a table."""
    nested: dict[str, object] = {}
    pieces: dict[str, dict[str, object]] = {}
    for channel, value in channels.items():
        piece, dot, rest = channel.partition(".")
        if dot:
            nested[piece] = pieces.setdefault(piece, {})
            pieces[piece][rest] = value
        else:
            nested[channel] = value
    return nested
