"""Rows in words: what moves on each exposure, and what is heard and said."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from splitpin.character.pose import Pose, Value
from splitpin.scene.scene import Scene
from splitpin.sheet.csv import written
from splitpin.sheet.sheet import Sheet

PLACE = ("x", "y", "angle")


def moved(sheet: Sheet) -> Iterator[tuple[str, ...]]:
    """For each row, who lies otherwise than on the row before, and how.

    Each text is a member with its x, y (mm) and angle, then what changed of its other channels and pieces:
    ``cat 12.5 -3 5° head 12° mouth.shows open``. The first row tells where everyone lies who is on the table.
    """
    before: Mapping[str, Pose] = {}
    for row in sheet.rows:
        texts = []
        for who, pose in row.poses.items():
            was = before.get(who)
            if was is pose or (was is None and pose.get("hidden")):
                continue
            changed = [c for c in pose if was is not None and _shown(pose[c]) != _shown(was[c])]
            if was is None or changed:
                texts.append(_member(who, pose, changed))
        before = row.poses
        yield tuple(texts)


def cells(sheet: Sheet) -> Iterator[dict[str, str]]:
    """For each row, what changed of each member and of the view since the row before, in words.

    Where a member lies is told when that changed; the first row tells of everyone who is on the table.
    """
    before: Mapping[str, Pose] = {}
    for row in sheet.rows:
        found: dict[str, str] = {}
        for who, pose in row.poses.items():
            was = before.get(who)
            if was is pose:
                continue
            changed = [c for c in pose if was is not None and _shown(pose[c]) != _shown(was[c])]
            words = [_shown(pose[c]) for c in PLACE[:2]] + [f"{_shown(pose['angle'])}°"]
            lies = was is None or any(c in PLACE for c in changed)
            if was is None and pose.get("hidden"):
                words = ["not there"]
            text = " ".join((words if lies else []) + _others(pose, changed))
            if text:
                found[who] = text
        before = row.poses
        yield found


def told(sheet: Sheet, scene: Scene) -> Iterator[str]:
    """For each row, what is heard, done and said as it begins, and what mouths say on it."""
    panels = {panel.name: panel for panel in scene.panels}
    first = {start: name for name, start, _ in sheet.panels}
    for row in sheet.rows:
        words = list(row.sounds)
        if row.frame in first:
            panel = panels[first[row.frame]]
            words += [panel.action, panel.spoken]
        words += map(str, row.says)
        yield " · ".join(" ".join(w.split()) for w in words if w)


def _member(who: str, pose: Pose, changed: list[str]) -> str:
    words = [who, *(_shown(pose[c]) for c in PLACE[:2]), f"{_shown(pose['angle'])}°"]
    return " ".join(words + _others(pose, changed))


def _others(pose: Pose, changed: list[str]) -> list[str]:
    """What changed but the place of the whole figure."""
    words = [f"{c} {_shown(pose[c])}" for c in changed if "." not in c and c not in PLACE]
    for piece in dict.fromkeys(c.partition(".")[0] for c in changed if "." in c):
        words.append(piece)
        if {f"{piece}.x", f"{piece}.y"} & set(changed):
            words += [_shown(pose[f"{piece}.{c}"]) for c in PLACE[:2]]
        for channel in (c for c in changed if c.startswith(f"{piece}.")):
            name = channel.partition(".")[2]
            if name == "angle":
                words.append(f"{_shown(pose[channel])}°")
            elif name not in PLACE:
                words.append(f"{name} {_shown(pose[channel])}")
    return words


def _shown(value: Value) -> str:
    return written(value, decimals=2)
