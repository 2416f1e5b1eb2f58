"""The only kinematics: a figure and a pose become pieces that lie somewhere."""

from __future__ import annotations

from math import cos, radians, sin
from typing import NamedTuple, cast

from splitpin.character.figure import Figure, Showing
from splitpin.character.pose import Pose
from splitpin.measure.affine import Affine, move

HERE = Affine()


class Placed(NamedTuple):
    """One cut-out lying on the table."""

    who: str
    """The cast member."""
    piece: str
    """The piece of its character."""
    cutout: str
    """The cut-out that lies there."""
    matrix: Affine
    """From pixels of the cut-out (y down, corner origin) to millimetres on the table (y up)."""
    pin: tuple[float, float]
    """Where the piece's own pin is on the table, mm."""
    angle: float
    """How far the piece is turned on the table, degrees anticlockwise; of a mirrored piece, the direction of
    its own x axis."""
    level: float
    """Raised or lowered against the scene's stacking order."""


class Joint(NamedTuple):
    """The axes of a piece: millimetres about its own pin, to the table."""

    axes: Affine
    showing: Showing


def joints(figure: Figure, pose: Pose, base: Affine = HERE) -> dict[str, Joint]:
    """The axes of every piece, hidden or not.

    Parameters
    ----------
    figure
        The character with its cut-outs.
    pose
        Channels; what is left out is at rest.
    base
        The plane the root stands on, to the table: the table itself, or a pin that the figure rides on.
    """
    get = pose.get
    scale = cast(float, get("scale", 1.0))
    root = _axes(
        cast(float, get("angle", 0.0)),
        -scale if get("flip") else scale,
        scale,
        cast(float, get("x", 0.0)),
        cast(float, get("y", 0.0)),
    )
    if base is not HERE:
        root = root.then(base)
    done: dict[str, Joint] = {}
    for name, holder, hook, angle, size, rest, showings, channels in figure.ladder:
        at_angle, at_x, at_y, at_scale, at_shows, _, _ = channels
        angle += cast(float, get(at_angle, 0.0))
        size *= cast(float, get(at_scale, 1.0))
        x, y = cast(float, get(at_x, 0.0)), cast(float, get(at_y, 0.0))
        outer = root
        if holder is not None:
            outer, showing = done[holder]
            hx, hy = showing.hooks[hook]
            x, y = x + hx, y + hy
        axes = outer if angle == x == y == 0.0 and size == 1.0 else _axes(angle, size, size, x, y).then(outer)
        done[name] = Joint(axes, showings[cast(str, get(at_shows, rest)) or rest])
    return done


def place(figure: Figure, pose: Pose, base: Affine = HERE, who: str = "") -> tuple[Placed, ...]:
    """Every piece that is not hidden, in the character's stacking order, lowest first.

    Parameters are those of :func:`joints`; ``who`` names the cast member.
    """
    if pose.get("hidden"):
        return ()
    level = cast(float, pose.get("level", 0.0))
    done = joints(figure, pose, base)
    placed: dict[str, Placed] = {}
    for bone in figure.ladder:
        _, _, _, _, _, at_hidden, at_level = bone.channels
        if pose.get(at_hidden):
            continue
        axes, (cutout, k, (px, py), _) = done[bone.name]
        a, b, c, d, e, f = axes
        matrix = Affine(a * k, b * k, -c * k, -d * k, e - (a * px - c * py) * k, f - (b * px - d * py) * k)
        above = level + cast(float, pose.get(at_level, 0.0))
        placed[bone.name] = Placed(who, bone.name, cutout, matrix, (e, f), axes.angle, above)
    return tuple([placed[name] for name in figure.order if name in placed])


def pin_frame(figure: Figure, pose: Pose, piece: str, pin: str, base: Affine = HERE) -> Affine:
    """The plane at a pin, to the table: what another member rides on."""
    axes, showing = joints(figure, pose, base)[piece]
    return move(*showing.hooks[pin]).then(axes)


def _axes(angle: float, sx: float, sy: float, x: float, y: float) -> Affine:
    # Stretched first (a negative sx mirrors), then turned, then moved.
    if angle == 0.0:
        return Affine(sx, 0.0, 0.0, sy, x, y)
    t = radians(angle)
    c, s = cos(t), sin(t)
    return Affine(c * sx, s * sx, -s * sy, c * sy, x, y)
