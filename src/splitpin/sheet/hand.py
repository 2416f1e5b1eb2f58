"""A hand on the table: what it does to the channels of a member, and how everything lies then.

Nothing is written: the sheet stays as it is, and the same hand on the same row does the same again.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import atan2, degrees
from typing import Literal, NamedTuple, cast

from splitpin.character.figure import Figure
from splitpin.character.follow import follow
from splitpin.character.place import HERE, Placed, joints, pin_frame
from splitpin.character.pose import Pose, Value
from splitpin.measure.affine import Affine
from splitpin.scene.scene import Scene, Tremble
from splitpin.sheet.rides import ride_order
from splitpin.sheet.rows import Rides, Table
from splitpin.sheet.sheet import Row
from splitpin.sheet.stack import rank
from splitpin.sheet.tremble import Hands

How = Literal["carry", "follow", "turn", "shift"]
"""What a hand does: carry the member, pull a piece that others follow, turn it, shift it off its pin."""
Point = tuple[float, float]
SNAP_MM, SNAP_DEGREES = 5.0, 5.0
"""Places and angles that a hand keeps to when it is asked to."""


class Grip(NamedTuple):
    """A hand that has taken hold of something."""

    who: str
    """The member."""
    piece: str
    """Its piece; the root piece stands for the whole member."""
    how: How
    at: Point
    """Where on the table it took hold, mm."""
    to: Point
    """Where it is now, mm."""
    snap: bool = False
    """Whether places and angles are whole fives."""


class Set(NamedTuple):
    """The table at one exposure, as it can be worked on."""

    scene: Scene
    figures: Mapping[str, Figure]
    row: Row

    @property
    def rides(self) -> Rides:
        """Who is carried by whom."""
        return ride_order(self.scene.cast, self.figures)[0]

    def base(self, who: str, poses: Mapping[str, Pose]) -> Affine:
        """The plane that a member stands on, to the table."""
        rides = self.rides
        ride = rides.get(who)
        if ride is None:
            return HERE
        carrier, piece, pin = ride
        return pin_frame(self.figures[carrier], poses[carrier], piece, pin, self.base(carrier, poses))


def pull(table: Set, grip: Grip, poses: Mapping[str, Pose]) -> dict[str, Value]:
    """The channels that a hand changes, and their values: mm and degrees.

    Parameters
    ----------
    table
        The table.
    grip
        The hand; its member must be on the table, and have that piece.
    poses
        How everything lay when the hand took hold.
    """
    figure, pose = table.figures[grip.who], poses[grip.who]
    base = table.base(grip.who, poses)
    root = grip.piece == figure.root
    if grip.how == "turn":
        return _turn(figure, pose, base, grip)
    if grip.how == "carry" or root:
        x, y = _along(base, grip)
        return {"x": _fives(_number(pose, "x") + x, grip), "y": _fives(_number(pose, "y") + y, grip)}
    if grip.how == "shift":
        x, y = _along(_holder(figure, pose, base, grip.piece), grip)
        at_x, at_y = f"{grip.piece}.x", f"{grip.piece}.y"
        return {at_x: _number(pose, at_x) + x, at_y: _number(pose, at_y) + y}
    values = follow(figure, pose, grip.piece, grip.at, grip.to, base).values
    return {channel: _kept(figure, channel, float(value), grip) for channel, value in values.items()}


def lay(table: Set, poses: Mapping[str, Pose]) -> tuple[Placed, ...]:
    """How all pieces lie in these poses, lowest first; what is not moved trembles as it did."""
    row, figures = table.row, table.figures
    ranks, _ = rank(table.scene.order, figures)
    steady = Hands(Tremble(), 0)
    before = Table(figures, table.rides, ranks, steady).lay(row.poses, set(figures), row.frame)
    after = Table(figures, table.rides, ranks, steady).lay(poses, set(figures), row.frame)
    planned = {(p.who, p.piece): p for p in before}
    lying = {(p.who, p.piece): p for p in row.placed}
    return tuple(
        lying[p.who, p.piece] if (p.who, p.piece) in lying and planned.get((p.who, p.piece)) == p else p
        for p in after
    )


def _turn(figure: Figure, pose: Pose, base: Affine, grip: Grip) -> dict[str, Value]:
    pin = joints(figure, pose, base)[grip.piece].axes
    before = atan2(grip.at[1] - pin.f, grip.at[0] - pin.e)
    now = atan2(grip.to[1] - pin.f, grip.to[0] - pin.e)
    turned = (degrees(now - before) + 180) % 360 - 180
    root = grip.piece == figure.root
    outer = base if root else _holder(figure, pose, base, grip.piece)
    channel = "angle" if root else f"{grip.piece}.angle"
    angle = _number(pose, channel) + (-turned if outer.determinant < 0 else turned)
    return {channel: angle if root and not grip.snap else _kept(figure, channel, angle, grip)}


def _kept(figure: Figure, channel: str, angle: float, grip: Grip) -> float:
    """An angle within the limits of its piece."""
    angle = round(angle / SNAP_DEGREES) * SNAP_DEGREES if grip.snap else angle
    piece = figure.character.pieces.get(channel.partition(".")[0])
    if piece is None or piece.limits is None:
        return angle
    return min(max(angle, piece.limits[0]), piece.limits[1])


def _holder(figure: Figure, pose: Pose, base: Affine, piece: str) -> Affine:
    """The axes of what a piece hangs on."""
    bone = next(bone for bone in figure.ladder if bone.name == piece)
    done = joints(figure, pose, base)
    if bone.holder is None:
        return base
    return done[bone.holder].axes


def _along(plane: Affine, grip: Grip) -> Point:
    """How far the hand went, along the axes of a plane."""
    back = plane.inverse()
    (x0, y0), (x1, y1) = back.apply(*grip.at), back.apply(*grip.to)
    return x1 - x0, y1 - y0


def _fives(place: float, grip: Grip) -> float:
    return round(place / SNAP_MM) * SNAP_MM if grip.snap else place


def _number(pose: Pose, channel: str) -> float:
    return float(cast("float", pose.get(channel, 0.0)))
