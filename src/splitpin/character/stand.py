"""Pieces that stand where they are while the figure moves over them."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot
from typing import cast

from splitpin.character.figure import Figure
from splitpin.character.place import joints
from splitpin.character.pose import Pose, Value

ALMOST = 1e-9
"""Shifts (mm) and angles (degrees) nearer than this are left as they are."""


def standing(
    figure: Figure, pose: Pose, places: Mapping[str, tuple[float, float]], turned_as: Pose | None = None
) -> dict[str, Value]:
    """The channels that keep pieces in their places, however the pieces lie that they hang on.

    Parameters
    ----------
    figure, pose
        The figure and how it lies.
    places
        Where the pins of pieces stand, mm on the plane that the figure stands on. Each hangs on a piece that
        is not among them.
    turned_as
        A pose in which what they hang on is turned as they go by; they do not turn with it further.

    Returns
    -------
    dict
        Their shifts off their pins, and their angles; only what is otherwise in the pose.
    """
    lying = joints(figure, pose)
    before = lying if turned_as is None else joints(figure, turned_as)
    channels: dict[str, Value] = {}
    for bone in figure.ladder:
        if bone.name not in places or bone.holder is None:
            continue
        at_angle, at_x, at_y, *_ = bone.channels
        holder, showing = lying[bone.holder]
        inner = holder.inverse().apply(*places[bone.name])
        x, y = (a - b for a, b in zip(inner, showing.hooks[bone.hook], strict=True))
        if hypot(x - _number(pose, at_x), y - _number(pose, at_y)) > ALMOST:
            channels |= {at_x: x, at_y: y}
        back = (before[bone.holder].axes.angle - holder.angle + 180) % 360 - 180
        if abs(back) > ALMOST:
            mirrored = holder.determinant < 0
            channels[at_angle] = _number(pose, at_angle) + (-back if mirrored else back)
    return channels


def _number(pose: Pose, channel: str) -> float:
    return cast("float", pose.get(channel, 0.0))
