"""Where lines part a cut-out: which pixels fall to which piece, and where the pins go."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt

from splitpin.cutout.flare import NICK, STEP, off_the_flare, stretches, within
from splitpin.cutout.mistake import CutError

Real = NDArray[np.float64]
Labels = NDArray[np.int32]
Mask = NDArray[np.bool_]

MOST_POINTS = 500
MOST_LINES = 40


class Joint(NamedTuple):
    """Two pieces that meet at a line."""

    line: int
    """Which of the lines, from 0."""
    near: int
    """The label of the piece on the root's side."""
    far: int
    """The label of the piece that hangs on it."""
    pin: tuple[float, float]
    """The middle of the cut, pixels."""
    radius: float
    """From the pin to the end of the cut, pixels."""
    moved: tuple[float, float] = (0.0, 0.0)
    """How far right and down the cut lies from the line that was drawn, pixels."""


class Division(NamedTuple):
    """A cut-out parted by lines."""

    labels: Labels
    """int32 (height, width): 0 where nothing is; the root is 1, the piece beyond line k is k + 2."""
    joints: tuple[Joint, ...]
    """Each after the one that its near piece hangs by."""


def divide(
    alpha: NDArray[np.uint8],
    lines: Sequence[Sequence[tuple[float, float]]],
    still: Collection[int] = (),
) -> Division:
    """Part a cut-out along lines; the largest part is the root.

    Parameters
    ----------
    alpha
        uint8 (height, width); what is half covered and more hangs together.
    lines
        Each two or more points ``(x, y)``, pixels: from outside the piece, across it once, to outside.
        One across a flare, such as the top of the shoulders, moves a little, to where the limb is a limb: by
        less than a sixth of its length.
    still
        Lines, from 0, that do not move.

    Raises
    ------
    CutError
        When a line misses the piece, stops inside it, crosses it more than once, or crosses another or
        itself; or when the pieces do not part.
    """
    core = alpha >= 128
    if not core.any():
        raise CutError("split", "nothing that is not transparent", "a cut-out", "name one with a piece in it")
    if not 1 <= len(lines) <= MOST_LINES:
        raise CutError("split", f"{len(lines)} lines", f"1 to {MOST_LINES}", "draw a line over each joint")
    found = [_cut(core, points, k, k not in still) for k, points in enumerate(lines)]
    cuts = [cut for cut, _ in found]
    walls = [_wall(cut, core.shape) for cut in cuts]
    for j, wall in enumerate(walls):
        wide = cv2.dilate(wall.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
        for i in range(j):
            if (wide & walls[i]).any():
                raise CutError(
                    f"line {j + 1}",
                    f"a line that meets line {i + 1}",
                    "lines that keep apart",
                    "move them apart, or leave one out",
                )
    open_core = core & ~np.logical_or.reduce(walls)
    _, parts = cv2.connectedComponents(open_core.astype(np.uint8), connectivity=4)
    sides = [_sides(parts, cut, k) for k, cut in enumerate(cuts)]
    used = sorted({label for pair in sides for label in pair})
    root = max(used, key=lambda label: int((parts == label).sum()))
    joints, renamed = _hung(cuts, sides, root)
    joints = [joint._replace(moved=found[joint.line][1]) for joint in joints]
    if len(renamed) != len(lines) + 1 or len(used) != len(lines) + 1:
        raise CutError(
            "split",
            f"{len(lines)} lines that leave {len(used)} pieces",
            "one piece more than lines",
            "let each line part one piece from the others; a ring cannot be parted in two places",
        )
    table = np.zeros(int(parts.max()) + 1, np.int32)
    for label, name in renamed.items():
        table[label] = name
    labels = _spread(table[parts], alpha > 0)
    for joint in joints:
        x, y = int(joint.pin[0]), int(joint.pin[1])
        if not core[min(y, core.shape[0] - 1), min(x, core.shape[1] - 1)]:
            raise CutError(
                f"line {joint.line + 1}",
                "a line whose middle lies off the piece",
                "a pin on the piece",
                "draw it straighter",
            )
    return Division(labels, tuple(joints))


def _cut(
    core: Mask, points: Sequence[tuple[float, float]], k: int, moves: bool
) -> tuple[Real, tuple[float, float]]:
    """The part of a line that lies on the piece: places along it; and how far it was moved."""
    where = f"line {k + 1}"
    height, width = core.shape
    corners = np.asarray([(float(x), float(y)) for x, y in points], np.float64).reshape(-1, 2)
    size = np.array([width, height])
    if not ((corners > -size - 1) & (corners < 2 * size + 1)).all():
        raise CutError(
            where,
            "a point far outside the picture",
            f"places in or just beside {width} × {height} pixels",
            "points are [x, y] in the cut-out's own pixels",
        )
    steps = np.hypot(*np.diff(corners, axis=0).T) if len(corners) > 1 else np.zeros(0)
    if not 2 <= len(corners) <= MOST_POINTS or not steps.sum() > 0:
        raise CutError(
            where, f"{len(corners)} points", f"2 to {MOST_POINTS} that differ", "draw it across the joint"
        )
    if _crosses_itself(corners):
        raise CutError(where, "a line that crosses itself", "a plain line", "draw it anew")
    at = np.concatenate([[0.0], np.cumsum(steps)])
    along = np.linspace(0, at[-1], max(2, int(at[-1] / STEP) + 1))
    places = np.stack([np.interp(along, at, corners[:, i]) for i in (0, 1)], axis=1)
    inside = within(core, places)
    runs = stretches(inside, NICK / STEP)
    if not runs:
        raise CutError(where, "a line that misses the piece", "one across it", "draw it over the piece")
    if runs[0][0] == 0 or runs[-1][1] == len(inside):
        x, y = corners[0 if runs[0][0] == 0 else -1]
        raise CutError(
            where,
            f"an end inside the piece, at [{x:g}, {y:g}]",
            "a line from edge to edge",
            "draw it on past the edge",
        )
    if len(runs) > 1:
        raise CutError(
            where,
            f"a line that crosses the piece {len(runs)} times",
            "one that crosses it once",
            "end it as soon as it has left the piece, and draw another line for another joint",
        )
    first, last = runs[0]
    return off_the_flare(core, places, first, last) if moves else (places[first:last], (0.0, 0.0))


def _wall(cut: Real, shape: tuple[int, ...]) -> Mask:
    """The pixels under a cut, and a little beyond its ends: steps along rows and columns cannot pass."""
    wall = np.zeros(shape, np.uint8)
    ends = [(cut[0] - cut[min(8, len(cut) - 1)]), (cut[-1] - cut[max(-9, -len(cut))])]
    out = [e / max(float(np.hypot(*e)), 1e-9) * 2.5 for e in ends]
    line = np.vstack([cut[0] + out[0], cut, cut[-1] + out[1]])
    cv2.polylines(wall, [np.floor(line).astype(np.int32)], False, 1)
    return wall.astype(np.bool_)


def _sides(parts: Labels, cut: Real, k: int) -> tuple[int, int]:
    """The pieces to the left and to the right of a cut."""
    way = np.gradient(cut, axis=0) if len(cut) > 1 else np.ones_like(cut)
    across = np.stack([-way[:, 1], way[:, 0]], axis=1) / np.maximum(np.hypot(*way.T), 1e-9)[:, None]
    found = []
    for sign in (1, -1):
        cells = np.concatenate([np.floor(cut + sign * d * across) for d in (2.0, 3.0)]).astype(np.int64)
        fits = ((cells >= 0) & (cells < parts.shape[::-1])).all(axis=1)
        seen = parts[cells[fits, 1], cells[fits, 0]]
        counts = np.bincount(seen[seen > 0])
        found.append(int(counts.argmax()) if len(counts) else 0)
    if found[0] == found[1] or 0 in found:
        raise CutError(
            f"line {k + 1}",
            "a line that leaves the piece in one",
            "one that parts it in two",
            "draw it right across, between two edges of the outline",
        )
    return found[0], found[1]


def _hung(
    cuts: Sequence[Real], sides: Sequence[tuple[int, int]], root: int
) -> tuple[list[Joint], dict[int, int]]:
    """The joints from the root outwards, and the new label of each piece."""
    renamed = {root: 1}
    joints: list[Joint] = []
    waiting = list(range(len(cuts)))
    while True:
        ready = [k for k in waiting if (sides[k][0] in renamed) != (sides[k][1] in renamed)]
        if not ready:
            return joints, renamed
        k = ready[0]
        near, far = sides[k] if sides[k][0] in renamed else sides[k][::-1]
        renamed[far] = k + 2
        pin = (cuts[k][0] + cuts[k][-1]) / 2
        radius = float(np.hypot(*(cuts[k] - pin).T).max()) + 1.0
        joints.append(Joint(k, renamed[near], k + 2, (float(pin[0]), float(pin[1])), radius))
        waiting.remove(k)


def _spread(labels: Labels, wanted: Mask) -> Labels:
    """What has no label gets that of the nearest pixel that has one."""
    rows, columns = distance_transform_edt(labels == 0, return_distances=False, return_indices=True)
    return np.where(wanted, labels[rows, columns], 0).astype(np.int32)


def _crosses_itself(corners: Real) -> bool:
    a, b = corners[:-1], corners[1:]

    def turn(p: Real, q: Real, r: Real) -> Real:
        return np.asarray((q[..., 0] - p[..., 0]) * (r[..., 1] - p[..., 1])
                          - (q[..., 1] - p[..., 1]) * (r[..., 0] - p[..., 0]))  # fmt: skip

    p, q, r, s = a[:, None], b[:, None], a[None], b[None]
    crossed = (turn(p, q, r) * turn(p, q, s) < 0) & (turn(r, s, p) * turn(r, s, q) < 0)
    return bool(crossed.any())
