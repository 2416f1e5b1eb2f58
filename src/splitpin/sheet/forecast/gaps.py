"""Joints that open while they are bent in the scene."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from splitpin.character.figure import Bone, Figure
from splitpin.character.gaps import sweep
from splitpin.character.place import Placed
from splitpin.character.pose import Pose
from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.forecast.outlines import COVERED
from splitpin.sheet.sheet import Row

FINE = 1.0
"""Angles that lie closer together than this are looked at as one, degrees."""
PULLED = 0.5
"""A piece pulled off its pin by more than this is meant to gape, mm."""

Look = frozenset[tuple[str, object]]
"""What a figure shows and hides, as far as it is not at rest."""


class _Bend(NamedTuple):
    row: Row
    placed: Placed
    angle: float


def gaps(known: Known) -> Iterator[Foreseen]:
    """Each joint that opens, on the exposure on which it is open widest.

    A joint counts while its pin is in the picture and nothing of another member lies over it.
    """
    for who, figure in known.figures.items():
        for bone in figure.ladder:
            if bone.holder is None:
                continue
            told = _worst(known, who, figure, bone)
            if told is not None:
                yield told


def _worst(known: Known, who: str, figure: Figure, bone: Bone) -> Foreseen | None:
    bends: dict[Look, dict[float, _Bend]] = {}
    for row in known.sheet.rows:
        pose = row.poses.get(who, {})
        angle = round(float(pose.get(bone.channels[0], 0.0)) / FINE) * FINE
        if not angle or _pulled(pose, bone):
            continue
        look = _look(figure, pose)
        if angle in bends.get(look, ()):
            continue
        placed = next((p for p in row.placed if (p.who, p.piece) == (who, bone.name)), None)
        if placed is not None and _seen(known, row, placed):
            bends.setdefault(look, {})[angle] = _Bend(row, placed, angle)
    worst: tuple[float, _Bend] | None = None
    for look, its in bends.items():
        for bent in sweep(figure, bone.name, known.alphas, sorted(its), dict(look)).bent:  # type: ignore[arg-type]
            if bent.open and (worst is None or bent.gap_mm2 > worst[0]):
                worst = bent.gap_mm2, its[bent.angle]
    if worst is None:
        return None
    mm2, bend = worst
    words = (
        f"the joint of {who}.{bone.name} on {bone.holder} opens by {mm2:.1f} mm² at {bend.angle:g}°",
        "pieces that overlap at the joint as far as they are bent",
        "bend it less, cut the pieces anew with more overlap, or lay something over the joint",
    )
    return known.tell(
        "gaps", bend.row, known.points(bend.row, bend.placed), words,
        gap_mm2=mm2, angle=bend.angle, who=who, piece=bone.name,
    )  # fmt: skip


def _pulled(pose: Pose, bone: Bone) -> bool:
    return any(abs(float(pose.get(channel, 0.0))) > PULLED for channel in bone.channels[1:3])


def _look(figure: Figure, pose: Pose) -> Look:
    found: set[tuple[str, object]] = set()
    for bone in figure.ladder:
        _, _, _, _, shows, hidden, _ = bone.channels
        if pose.get(shows, bone.rest) != bone.rest:
            found.add((shows, pose[shows]))
        if pose.get(hidden):
            found.add((hidden, True))
    return frozenset(found)


def _seen(known: Known, row: Row, placed: Placed) -> bool:
    x, y = known.stage.to_pixels(row.view).apply(*placed.pin)
    if not (0 <= x < known.stage.width and 0 <= y < known.stage.height):
        return False
    above = row.placed[row.placed.index(placed) + 1 :]
    return not any(p.who != placed.who and _covers(known, p, placed.pin) for p in above)


def _covers(known: Known, placed: Placed, spot: tuple[float, float]) -> bool:
    if not placed.matrix.determinant:
        return False
    x, y = (int(np.floor(v)) for v in placed.matrix.inverse().apply(*spot))
    alpha = known.alphas[placed.cutout]
    return 0 <= y < alpha.shape[0] and 0 <= x < alpha.shape[1] and int(alpha[y, x]) >= COVERED
