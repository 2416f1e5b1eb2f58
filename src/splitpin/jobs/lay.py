"""Lay a move from an exposure on, and draw the way of one elsewhere."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from math import hypot
from pathlib import Path
from typing import NamedTuple

from splitpin.character.pose import Value
from splitpin.folder.edit import DELETED, Edit
from splitpin.jobs.pose import add_move, seconds_of
from splitpin.jobs.staging import Staged, stage, tried, write
from splitpin.motion.bend import Bend
from splitpin.motion.move import Move
from splitpin.motion.travel import Journey
from splitpin.sheet.channels import VIEW
from splitpin.sheet.hand import Grip, How, Set, pull
from splitpin.sheet.ways import Tick, piece_of, rows_of, ticks

TIMED = ("panel", "start", "after")


class Moved(NamedTuple):
    """A move that was laid or changed."""

    staged: Staged
    """The scene as it is now."""
    move: int
    """Its place in the scene's list."""


def lay(root: Path, scene: str, frame: int, move: Mapping[str, object]) -> Moved:
    """Add a move to a scene.

    Parameters
    ----------
    root, scene
        The film folder, and the name of a scene.
    frame
        A frame of the exposure at which what it moves still lies where it starts: the move takes it on from
        the next one. With -1 it takes it on from the scene's first exposure.
    move
        The move's keys as in a document: ``{"move": "slide", "who": "cat", "to": [10, 20]}``. Where they say
        nothing of when it starts, ``panel`` and ``start`` are filled in.

    Raises
    ------
    FolderError
        When there is no such scene or exposure.
    RefusedError
        With the mistakes that the scene has, or would have.
    """
    staged = stage(root, scene)
    said = {"move": move.get("move"), "who": move.get("who"), **move}
    if not any(key in move for key in TIMED):
        said |= _start(staged, frame)
    said = {key: value for key, value in said.items() if value is not None}
    edit = add_move(staged, said)
    done = tried(staged, [edit])
    write(staged, [edit])
    return Moved(done, len(done.scene.moves) - 1)


def change_move(root: Path, scene: str, move: int, keys: Mapping[str, object]) -> Moved:
    """Change keys of a move; None takes one away.

    Raises
    ------
    FolderError
        When there is no such scene or move.
    RefusedError
        With the mistakes that the scene has, or would have.
    """
    staged = stage(root, scene)
    known = _move(staged, move)
    edits = [
        Edit(staged.file, ("moves", move, key), DELETED if value is None else value)
        for key, value in keys.items()
        if value is not None or key in known.model_fields_set
    ]
    done = tried(staged, edits)
    write(staged, edits)
    return Moved(done, move)


def redraw(root: Path, scene: str, move: int, frame: int, to: tuple[float, float]) -> Moved:
    """Draw a tick of a move elsewhere, and let the move's keys say so.

    The last tick is where it ends. One between bends the way, which then goes ``through`` that place.

    Parameters
    ----------
    root, scene, move
        The film folder, the name of a scene, and the move's place in the scene's list.
    frame
        The exposure of the tick, by its first frame in the scene.
    to
        Where it shall be on the table, mm.

    Raises
    ------
    FolderError
        When there is no such scene, move or tick, or the move has no such way.
    RefusedError
        With the mistakes that the scene has, or would have.
    """
    staged = stage(root, scene)
    known = _move(staged, move)
    span = staged.sheet.spans[move]
    marks = ticks(staged.sheet, staged.plan, staged.figures, known, span)
    works = {row.frame for row in rows_of(staged.sheet, staged.plan, span)}
    tick = next((mark for mark in marks if mark.frame == frame and frame in works), None)
    if tick is None:
        told = ", ".join(str(mark.frame) for mark in marks if mark.frame in works) or "one with ticks"
        raise staged.refuse(
            f"no tick of move {move + 1} on frame {frame}", f"one of {told}",
            "where it starts, lay the piece itself otherwise",
        )  # fmt: skip
    return change_move(root, scene, move, _drawn(staged, known, marks, tick, to))


def _drawn(
    staged: Staged, move: Move, marks: tuple[Tick, ...], tick: Tick, to: tuple[float, float]
) -> dict[str, object]:
    last = tick == marks[-1]
    if isinstance(move, Bend) and last:
        how: How = "turn"
        was, now = _pulled(staged, move, tick, to, how)
        (channel,) = now
        turned = _number(now[channel]) - _number(was[channel])
        key = "to" if move.to is not None else "by"
        return {key: round(_number(getattr(move, key)) + turned, 2)}
    by = getattr(move, "by", None)
    if not (isinstance(getattr(move, "to", None), tuple) or isinstance(by, tuple)):
        raise staged.refuse(
            f"a {move.kind} has no way that can be drawn", "a move that goes from one place to another",
            "change its keys",
        )  # fmt: skip
    how = "shift" if getattr(move, "piece", None) is not None else "carry"
    was, now = _pulled(staged, move, tick, to, how)
    (x0, y0), (x1, y1) = _place(was), _place(now)
    if last:
        ends = (x1, y1) if by is None else (by[0] + x1 - x0, by[1] + y1 - y0)
        return {"to" if by is None else "by": [round(ends[0], 1), round(ends[1], 1)]}
    if not isinstance(move, Journey):
        raise staged.refuse(f"the way of a {move.kind} is its own", "its last tick", "draw that one")
    dx = dy = 0.0
    if by is not None:
        end_x, end_y = _place(_pulled(staged, move, marks[-1], (marks[-1].x, marks[-1].y), how)[0])
        dx, dy = end_x - by[0], end_y - by[1]
    spot = [round(x1 - dx, 1), round(y1 - dy, 1)]
    through = _through(move, marks, tick, spot, (tick.x - x0 + dx, tick.y - y0 + dy))
    return {"through": through, "arc": None, "curve": None}


def _through(
    move: Journey, marks: tuple[Tick, ...], tick: Tick, spot: list[float], off: tuple[float, float]
) -> list[list[float]]:
    """The places a way goes through with one more; the one that this tick went through already is moved.

    ``off`` leads from such a place to the table.
    """
    places = [[float(x), float(y)] for x, y in move.through or ()]
    near = [
        min(range(len(marks)), key=lambda k: hypot(marks[k].x - off[0] - x, marks[k].y - off[1] - y))
        for x, y in places
    ]
    at = marks.index(tick)
    if at in near:
        places[near.index(at)] = spot
    else:
        places.insert(bisect_right(near, at), spot)
    return places


def _pulled(
    staged: Staged, move: Move, mark: Tick, to: tuple[float, float], how: How
) -> tuple[dict[str, Value], dict[str, Value]]:
    """The channels of a tick as they are, and as they would be when a hand drew it elsewhere."""
    rows = staged.sheet.rows
    row = rows[bisect_right(rows, mark.frame, key=lambda one: one.frame) - 1]
    if move.who == VIEW:
        return {"x": mark.x, "y": mark.y}, {"x": to[0], "y": to[1]}
    piece = piece_of(staged.figures[move.who], move)
    now = pull(
        Set(staged.scene, staged.figures, row),
        Grip(move.who, piece, how, (mark.x, mark.y), to),
        row.poses,
    )
    return {channel: row.poses[move.who][channel] for channel in now}, now


def _start(staged: Staged, frame: int) -> dict[str, object]:
    rows = staged.sheet.rows
    if not -1 <= frame < staged.sheet.frames:
        raise staged.refuse(f"frame {frame}", f"-1 to {staged.sheet.frames - 1}", "name a frame of the scene")
    at = bisect_right(rows, frame, key=lambda row: row.frame)
    start = rows[min(at, len(rows) - 1)]
    found: dict[str, object] = {}
    if start.panel != staged.sheet.panels[0][0]:
        found["panel"] = start.panel
    if start.since:
        found["start"] = seconds_of(start.since, staged)
    return found


def _move(staged: Staged, move: int) -> Move:
    moves = staged.scene.moves
    if not 0 <= move < len(moves):
        raise staged.refuse(
            f"move {move + 1}", f"1 to {len(moves)}" if moves else "a move", "name a move of the scene"
        )
    return moves[move]


def _place(channels: Mapping[str, Value]) -> tuple[float, float]:
    x, y = channels.values()
    return _number(x), _number(y)


def _number(value: object) -> float:
    return float(value) if isinstance(value, (int, float)) else 0.0
