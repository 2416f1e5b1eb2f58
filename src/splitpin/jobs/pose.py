"""Lay somebody of a scene otherwise, by hand, and let the scene's document say so."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Literal, NamedTuple

from splitpin.character.channels import read_channels
from splitpin.character.pose import Value, flatten, multiplied
from splitpin.folder.edit import DELETED, Edit
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.staging import Staged, stage, tried, write
from splitpin.measure.likely import likely
from splitpin.motion.posed import Posed
from splitpin.scene.scene import Member
from splitpin.sheet.channels import VIEW
from splitpin.sheet.csv import Change
from splitpin.sheet.sheet import Row
from splitpin.sheet.touches import retouch, touched

Hold = Literal["on", "here", "opening"]
"""How long a pose holds: from this exposure on, on this exposure alone, or as the scene opens."""
Build = Callable[[Mapping[str, Value]], list[Edit]]
"""Writes channels into the document in one of several ways."""
CLOSE = 1e-4
"""A pose is as it was asked for when every number of it is this near."""


class Laid(NamedTuple):
    """A pose that was written."""

    staged: Staged
    """The scene as it is now."""
    frame: int
    """The first frame of the exposure."""
    hold: Hold
    """How long it holds; a move that goes on may leave it only this exposure."""


def pose(
    root: Path, scene: str, frame: int, who: str, values: Mapping[str, object], hold: Hold = "on"
) -> Laid:
    """Lay a member, or the view, otherwise on one exposure.

    Parameters
    ----------
    root, scene
        The film folder, and the name of a scene.
    frame
        A frame of the exposure, counted from the start of the scene.
    who
        A member of the cast, ``background`` or ``view``.
    values
        Channels and their values, mm and degrees: ``{"x": 10, "head.angle": 5, "mouth.shows": "open"}``.
    hold
        ``on``: from this exposure on, as a position of straight-ahead work (a move ``posed``; on the first
        exposure, how the scene opens). Where another move goes on with a channel, only this exposure can be
        changed, and is. ``here``: on this exposure alone, as a touch. ``opening``: as the scene opens.

    Raises
    ------
    FolderError
        When there is no such scene, exposure, member or channel, or a value is of the wrong kind.
    RefusedError
        With the mistakes that the scene has, or would have.
    """
    staged = stage(root, scene)
    row = _row(staged, frame)
    wanted = _read(staged, row, who, values)
    refused: RefusedError | None = None
    for found, build in _ways(staged, row, who, hold):
        try:
            done, edits = _corrected(staged, build, row, who, wanted)
        except RefusedError as problem:
            refused = refused or problem
            continue
        if hold == "opening" or _lies(done, row.frame, who, wanted):
            write(staged, edits)
            return Laid(done, row.frame, found)
    raise refused or staged.refuse(
        f"{who} cannot be laid so on frame {row.frame}", "a pose that nothing else decides",
        "change the move that lays it there",
    )  # fmt: skip


def _ways(staged: Staged, row: Row, who: str, hold: Hold) -> Iterator[tuple[Hold, Build]]:
    """The ways in which a pose can be written, the best first."""
    if hold == "opening":
        yield "opening", partial(_opened, staged, row, who)
        return
    if hold == "on":
        first = row.frame == staged.sheet.rows[0].frame
        if first and who in (*staged.scene.cast, VIEW):
            yield "opening", partial(_opened, staged, row, who)
        for build in _posed(staged, row, who):
            yield "on", build
    yield "here", partial(_touched, staged, row, who)


def _row(staged: Staged, frame: int) -> Row:
    rows = staged.sheet.rows
    if not 0 <= frame < staged.sheet.frames:
        raise staged.refuse(
            f"frame {frame}", f"0 to {staged.sheet.frames - 1}", "name a frame of the scene, counted from 0"
        )
    return rows[bisect_right(rows, frame, key=lambda row: row.frame) - 1]


def _read(staged: Staged, row: Row, who: str, values: Mapping[str, object]) -> dict[str, Value]:
    if who not in row.poses:
        raise staged.refuse(f"{who!r} is not in the cast", "a member", likely(who, row.poses))
    read, faults = read_channels(values, row.poses[who], staged.figures.get(who), ())
    for fault in faults:
        where = ".".join(map(str, fault.path))
        raise staged.refuse(f"{who}.{where}: {fault.found}", fault.expected, fault.remedy)
    if not read:
        raise staged.refuse("no channel", "one at least, such as x = 10", "say what shall lie otherwise")
    return {c: round(v, 3) if isinstance(v, float) else v for c, v in read.items()}


def _lies(staged: Staged, frame: int, who: str, wanted: Mapping[str, Value]) -> bool:
    pose_now = _row(staged, frame).poses[who]
    return all(_same(pose_now[channel], value) for channel, value in wanted.items())


def _same(a: Value, b: Value) -> bool:
    if isinstance(a, float) and isinstance(b, float):
        return abs(a - b) <= CLOSE
    return a == b


def _corrected(
    staged: Staged, build: Build, row: Row, who: str, wanted: Mapping[str, Value]
) -> tuple[Staged, list[Edit]]:
    """Try a change; where something disturbs the pose, ask for so much less."""
    edits = build(wanted)
    done = tried(staged, edits)
    if _lies(done, row.frame, who, wanted):
        return done, edits
    lying = _row(done, row.frame).poses[who]
    less: dict[str, Value] = {}
    for channel, value in wanted.items():
        now = lying[channel]
        less[channel] = value
        if isinstance(value, float) and isinstance(now, float) and now:
            told = value * value / now if multiplied(channel) else value + value - now
            less[channel] = round(told, 6)
    edits = build(less)
    return tried(staged, edits), edits


def _posed(staged: Staged, row: Row, who: str) -> Iterator[Build]:
    """In the run of positions that this exposure is in or comes next to; or as a new one."""
    frame = staged.plan[staged.sheet.rows.index(row)]
    for i, move in enumerate(staged.scene.moves):
        span = staged.sheet.spans.get(i)
        if not isinstance(move, Posed) or move.who != who or span is None or frame < span.start:
            continue
        k, beside = divmod(frame - span.start, span.on)
        grows = move.seconds is None and move.positions is None
        if not beside and (k < len(move.values) or (k == len(move.values) and grows)):
            yield partial(_position, staged, row, who, i, move.values[k : k + 1], k)
    # Where a move on ones made this exposure: straight-ahead work keeps to the scene's own.
    if row.since % (staged.scene.on or staged.folder.film.on) == 0:
        yield partial(_run, staged, row, who, row.since)


def _position(
    staged: Staged, row: Row, who: str, move: int, said: list[dict[str, object]], k: int,
    values: Mapping[str, Value],
) -> list[Edit]:  # fmt: skip
    """A position of a run that is there; ``said`` holds what it says already, if there is one."""
    kept = {c: v for one in said for c, v in flatten(one)}
    place = "moves", move, "values", k
    edit = Edit(staged.file, place, nested({**kept, **values}), insert=not said)
    return [*_untouched(staged, row, who, values), edit]


def _run(staged: Staged, row: Row, who: str, since: int, values: Mapping[str, Value]) -> list[Edit]:
    """A new run of positions."""
    move: dict[str, object] = {"move": "posed", "who": who}
    if row.panel != staged.sheet.panels[0][0]:
        move["panel"] = row.panel
    if since:
        move["start"] = seconds_of(since, staged)
    move["values"] = [nested(values)]
    return [*_untouched(staged, row, who, values), add_move(staged, move)]


def _touched(staged: Staged, row: Row, who: str, values: Mapping[str, Value]) -> list[Edit]:
    """A hand on this exposure alone."""
    plan = staged
    if staged.scene.touches:
        plan = tried(staged, [Edit(staged.file, ("touches",), DELETED)])
    change = Change(row.frame, who, dict(values))
    done = retouch(staged.scene.touches, staged.sheet, plan.sheet, [change]).touches
    said = [touch.model_dump(exclude_unset=True) for touch in done]
    return [Edit(staged.file, ("touches",), said or DELETED)] if said or staged.scene.touches else []


def _untouched(staged: Staged, row: Row, who: str, wanted: Mapping[str, Value]) -> list[Edit]:
    """What takes the hand off channels of one exposure that shall be as they are from there on."""
    edits: list[Edit] = []
    for i in reversed(touched(staged.scene.touches, staged.sheet).get((row.frame, who), [])):
        touch = staged.scene.touches[i]
        left = {c: v for c, v in flatten(touch.set) if c not in wanted}
        path = ("touches", i)
        if not left:
            edits.append(Edit(staged.file, path, DELETED))
        elif len(left) < len(dict(flatten(touch.set))):
            edits.append(Edit(staged.file, (*path, "set"), nested(left)))
    return edits


def _opened(staged: Staged, row: Row, who: str, values: Mapping[str, Value]) -> list[Edit]:
    """How the scene opens, by keys of the cast or of the view."""
    first = row.frame == staged.sheet.rows[0].frame
    edits = _untouched(staged, row, who, values) if first else []
    if who == VIEW:
        keys = {"width": "width_mm"}
        return edits + [Edit(staged.file, ("view", keys.get(c, c)), v) for c, v in values.items()]
    if who not in staged.scene.cast:
        raise staged.refuse(
            f"{who} lies in the middle when the scene opens", "a member of the cast",
            "lay it from an exposure on, or put its cut-out into the cast",
        )  # fmt: skip
    own = {c: v for c, v in values.items() if c in Member.model_fields}
    edits += [Edit(staged.file, ("cast", who, c), v) for c, v in own.items()]
    if len(own) < len(values):
        said = {**dict(flatten(staged.scene.cast[who].pose)), **values}
        pieces = nested({c: v for c, v in said.items() if c not in own})
        edits.append(Edit(staged.file, ("cast", who, "pose"), pieces))
    return edits


def add_move(staged: Staged, said: Mapping[str, object]) -> Edit:
    """The edit that adds a move to a scene, after those that it has."""
    moves = len(staged.scene.moves)
    if moves:
        return Edit(staged.file, ("moves", moves), dict(said), insert=True)
    return Edit(staged.file, ("moves",), [dict(said)])


def seconds_of(frames: int, staged: Staged) -> float:
    """Frames as seconds that are read as these frames again."""
    exact = frames / staged.folder.film.exact_rate
    for places in range(2, 7):
        told = round(float(exact), places)
        if abs(told * float(staged.folder.film.exact_rate) - frames) < 0.02:
            return told
    return float(exact)


def nested(channels: Mapping[str, object]) -> dict[str, object]:
    """Channels as a document has them: ``head.angle`` is a key within a table."""
    tables: dict[str, object] = {}
    for channel, value in channels.items():
        piece, dot, rest = channel.partition(".")
        if dot:
            inner = tables.setdefault(piece, {})
            if isinstance(inner, dict):
                inner[rest] = value
        else:
            tables[channel] = value
    return tables
