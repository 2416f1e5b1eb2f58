"""A hand takes a piece of a figure by a point and pulls it somewhere: the pieces it hangs on turn along."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import atan2, ceil, cos, degrees, hypot, pi, radians, sin
from typing import NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

from splitpin.character.figure import Figure
from splitpin.character.place import HERE, Joint, joints
from splitpin.character.pose import Pose, Value
from splitpin.measure.affine import Affine

STEPS = 120
"""The most steps towards the hand; a usual pull takes about ten."""
STRIDE = radians(12)
"""No pin turns further in one step, radians."""
ROUND = radians(20)
"""A pull is followed at least every so far round the first pin, radians."""
NEAR = 1e-4
"""Near enough to the hand, mm."""


class Followed(NamedTuple):
    """How a figure follows a hand."""

    values: dict[str, Value]
    """The angles of the pieces that turn, degrees."""
    short_by: float
    """How far the point stays from the hand, mm."""


def chain_of(figure: Figure, piece: str) -> tuple[str, ...]:
    """A piece and those it hangs on, without the root, which lies where it lies."""
    holders = {bone.name: bone.holder for bone in figure.ladder}
    chain: list[str] = []
    at: str | None = piece
    while at is not None and holders[at] is not None:
        chain.append(at)
        at = holders[at]
    return tuple(chain)


def follow(
    figure: Figure,
    pose: Pose,
    piece: str,
    grip: tuple[float, float],
    to: tuple[float, float],
    base: Affine = HERE,
) -> Followed:
    """Turn a piece, and those it hangs on, until the point by which it is held is where the hand is.

    Parameters
    ----------
    figure, pose, base
        The figure, how it lies before, and the plane it stands on.
    piece
        The piece that is held.
    grip, to
        Where on the table it was taken, and where the hand is now, mm.

    Notes
    -----
    All pins of the chain turn as little as will do (damped least squares), so a short piece that is held near
    its pin hardly turns and the limb behind it does. Limits hold. Always counted from the same pose, so that
    the result does not depend on the way the hand took.
    """
    chain = chain_of(figure, piece)
    held = joints(figure, pose, base)[piece].axes.inverse().apply(*grip)
    angles = {name: float(cast("float", pose.get(f"{name}.angle", 0.0))) for name in chain}
    limits = {name: figure.character.pieces[name].limits or (-1e6, 1e6) for name in chain}
    for target in _way(figure, pose, base, chain, grip, to):
        for _ in range(STEPS):
            lying = joints(figure, {**pose, **_channels(angles)}, base)
            x, y = lying[piece].axes.apply(*held)
            error = np.array([target[0] - x, target[1] - y])
            turns = _turns(chain, _pins(figure, chain, base, lying), (x, y), error, angles, limits)
            if hypot(*error) < NEAR or max(map(abs, turns.values()), default=0.0) < 1e-6:
                break
            for name, turn in turns.items():
                low, high = limits[name]
                angles[name] = min(max(angles[name] + turn, min(low, angles[name])), max(high, angles[name]))
    x, y = joints(figure, {**pose, **_channels(angles)}, base)[piece].axes.apply(*held)
    return Followed(_channels(angles), hypot(to[0] - x, to[1] - y))


class _Pin(NamedTuple):
    """A pin on the table, and which way round a greater angle turns there."""

    x: float
    y: float
    way: int


def _pins(
    figure: Figure, chain: tuple[str, ...], base: Affine, lying: Mapping[str, Joint]
) -> dict[str, _Pin]:
    pins: dict[str, _Pin] = {}
    for bone in figure.ladder:
        if bone.name in chain:
            axes = lying[bone.name].axes
            outer = base if bone.holder is None else lying[bone.holder].axes
            pins[bone.name] = _Pin(axes.e, axes.f, -1 if outer.determinant < 0 else 1)
    return pins


def _turns(
    chain: tuple[str, ...],
    pins: dict[str, _Pin],
    tip: tuple[float, float],
    error: NDArray[np.float64],
    angles: dict[str, float],
    limits: dict[str, tuple[float, float]],
) -> dict[str, float]:
    """How far each pin turns in one step, degrees; one at its limit lets the others do it."""
    free = list(chain)
    while free:
        columns = np.array(
            [[-(tip[1] - pins[n].y) * pins[n].way, (tip[0] - pins[n].x) * pins[n].way] for n in free]
        ).T
        damp = 1e-4 * float((columns**2).sum()) + 1e-12
        step = columns.T @ np.linalg.solve(columns @ columns.T + damp * np.eye(2), error)
        longest = float(np.abs(step).max(initial=0.0))
        step *= min(1.0, STRIDE / longest) if longest > 0 else 1.0
        turns = {name: degrees(float(turn)) for name, turn in zip(free, step, strict=True)}
        stuck = [
            name
            for name, turn in turns.items()
            if (turn > 0 and angles[name] >= limits[name][1])
            or (turn < 0 and angles[name] <= limits[name][0])
        ]
        if not stuck:
            return turns
        free = [name for name in free if name not in stuck]
    return {}


def _way(
    figure: Figure,
    pose: Pose,
    base: Affine,
    chain: tuple[str, ...],
    grip: tuple[float, float],
    to: tuple[float, float],
) -> Iterator[tuple[float, float]]:
    """Places on the way round the chain's first pin to the place nearest to the hand that it would get to.

    A limb that went straight through the pin to the other side would lie folded there.
    """
    if not chain:
        return
    lying = joints(figure, pose, base)
    spots = [grip, *((lying[name].axes.e, lying[name].axes.f) for name in chain)]
    longest = sum(hypot(a[0] - b[0], a[1] - b[1]) for a, b in pairwise(spots))
    x, y = spots[-1]
    start, end = atan2(grip[1] - y, grip[0] - x), atan2(to[1] - y, to[0] - x)
    turn = (end - start + pi) % (2 * pi) - pi
    near, far = hypot(grip[0] - x, grip[1] - y), min(hypot(to[0] - x, to[1] - y), longest)
    steps = max(1, ceil(abs(turn) / ROUND))
    for k in range(1, steps + 1):
        away, angle = near + (far - near) * k / steps, start + turn * k / steps
        yield x + away * cos(angle), y + away * sin(angle)


def _channels(angles: dict[str, float]) -> dict[str, Value]:
    return {f"{name}.angle": angle for name, angle in angles.items()}
