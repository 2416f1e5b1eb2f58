"""Hands on single exposures: set values, copy a span onto another, let go again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from splitpin.character.channels import wrong_value
from splitpin.character.pose import Value
from splitpin.folder.mistake import FolderError
from splitpin.jobs.sheet import SceneSheet, plan_of, retouched, sheet_of
from splitpin.measure.likely import likely
from splitpin.sheet.csv import Change, same
from splitpin.sheet.sheet import Row


class Touched(NamedTuple):
    """What became of the touches of a scene."""

    added: int
    changed: int
    removed: int
    left: int = 0
    """Exposures that were to be copied, and had no place before the end of the scene."""


def touch(root: Path, scene: str, changes: Sequence[Change]) -> Touched:
    """Set values of members, or of ``view``, on single exposures.

    A value that the moves give by themselves is touched no more.

    Parameters
    ----------
    root, scene
        The scene.
    changes
        Each names the first frame of an exposure, a member and the values of its channels.

    Raises
    ------
    FolderError
        When there is no such scene, exposure, member or channel, or a value cannot be one of its.
    RefusedError
        When the scene has mistakes.
    """
    found = sheet_of(root, scene)
    rows = {row.frame: row for row in found.sheet.rows}
    figures = found.folder.figures(scene)
    where = f"scenes/{scene}.toml"
    for frame, who, values in changes:
        poses = _row(rows, frame, where).poses
        if who not in poses:
            raise FolderError(where, f"no member {who[:80]!r}", "a member of the cast", likely(who, poses))
        for channel, value in values.items():
            now = poses[who].get(channel)
            if now is None:
                known = likely(channel, poses[who])
                raise FolderError(where, f"{who} has no {channel[:80]!r}", "one of its channels", known)
            wrong = wrong_value(channel, value, now, figures.get(who), (who, channel))
            if wrong is not None:
                raise FolderError(where, f"{who}.{channel}: {wrong.found}", wrong.expected, wrong.remedy)
    return _done(root, found, changes)


def copy_span(root: Path, scene: str, who: Sequence[str], frames: Sequence[int], to: int) -> Touched:
    """Lay members on some exposures as they lie on others.

    Parameters
    ----------
    root, scene
        The scene.
    who
        The members, or ``view``.
    frames
        The first frames of the exposures that are copied, in order.
    to
        The first frame of the exposure that the first of them is copied to; the others follow on it.

    Raises
    ------
    FolderError
        When there is no such scene, exposure or member.
    RefusedError
        When the scene has mistakes.
    """
    found = sheet_of(root, scene)
    rows = {row.frame: row for row in found.sheet.rows}
    where = f"scenes/{scene}.toml"
    onto = [row for row in found.sheet.rows if row.frame >= _row(rows, to, where).frame]
    sources = [_row(rows, frame, where) for frame in frames]
    changes: list[Change] = []
    for source, row in zip(sources, onto, strict=False):
        for name in who:
            if name not in row.poses:
                raise FolderError(where, f"no member {name[:80]!r}", "a member", likely(name, row.poses))
            if values := _off(source.poses[name], row.poses[name]):
                changes.append(Change(row.frame, name, values))
    return _done(root, found, changes)._replace(left=max(0, len(sources) - len(onto)))


def let_go(root: Path, scene: str, frames: Sequence[int], who: Sequence[str] | None = None) -> Touched:
    """Take hands off exposures: they lie as the moves say.

    Parameters
    ----------
    root, scene
        The scene.
    frames
        The first frames of the exposures.
    who
        The members; everybody when left out.

    Raises
    ------
    FolderError
        When there is no such scene or exposure.
    RefusedError
        When the scene has mistakes.
    """
    found = sheet_of(root, scene)
    rows = {row.frame: row for row in found.sheet.rows}
    plan = {row.frame: row for row in plan_of(found).rows}
    changes: list[Change] = []
    for frame in frames:
        row = _row(rows, frame, f"scenes/{scene}.toml")
        for name in row.poses if who is None else who:
            if name in row.poses and (values := _off(plan[frame].poses[name], row.poses[name])):
                changes.append(Change(frame, name, values))
    return _done(root, found, changes)


def _done(root: Path, found: SceneSheet, changes: Sequence[Change]) -> Touched:
    done = retouched(root, found, changes)
    return Touched(done.added, done.changed, done.removed)


def _off(wanted: Mapping[str, Value], now: Mapping[str, Value]) -> dict[str, Value]:
    return {c: value for c, value in wanted.items() if c in now and not same(value, now[c])}


def _row(rows: Mapping[int, Row], frame: int, where: str) -> Row:
    if frame not in rows:
        remedy = "look at the sheet for the first frames of its exposures"
        raise FolderError(where, f"no exposure that starts on frame {frame}", "one of the sheet", remedy)
    return rows[frame]
