"""The only kinematics: a figure and a pose become pieces that lie somewhere."""

from __future__ import annotations

from typing import NamedTuple, cast

from splitpin.character.character import Figure
from splitpin.character.pose import REST, Pose
from splitpin.measure.affine import Affine, move, stretch, turn

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
    """How far the piece is turned on the table, degrees anticlockwise, a mirrored piece as seen before the
    mirroring of its root."""
    level: float
    """Raised or lowered against the scene's stacking order."""


class Joint(NamedTuple):
    """The axes of a placed piece: millimetres about its own pin, to the table."""

    axes: Affine
    shows: str


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
    pieces = figure.character.pieces
    scale = _number(pose, "scale", 1.0)
    root = (
        stretch(-scale if pose.get("flip", False) else scale, scale)
        .then(turn(_number(pose, "angle", 0.0)))
        .then(move(_number(pose, "x", 0.0), _number(pose, "y", 0.0)))
        .then(base)
    )
    done: dict[str, Joint] = {}
    for name in figure.ladder:
        piece = pieces[name]
        shows = str(pose.get(f"{name}.shows") or piece.resting_show)
        if piece.on is None:
            holder, x, y = root, 0.0, 0.0
        else:
            on, pin = piece.on.split(".")
            holder, (x, y) = done[on].axes, pin_offset(figure, on, pin, done[on].shows)
        angle = piece.angle + _number(pose, f"{name}.angle", 0.0)
        size = piece.scale * _number(pose, f"{name}.scale", 1.0)
        x += _number(pose, f"{name}.x", 0.0)
        y += _number(pose, f"{name}.y", 0.0)
        own = turn(angle) if angle else HERE
        if size != 1.0:
            own = Affine(own.a * size, own.b * size, own.c * size, own.d * size)
        done[name] = Joint(Affine(own.a, own.b, own.c, own.d, x, y).then(holder), shows)
    return done


def place(figure: Figure, pose: Pose, base: Affine = HERE, who: str = "") -> tuple[Placed, ...]:
    """Every piece that is not hidden, in the character's stacking order, lowest first.

    Parameters are those of :func:`joints`; ``who`` names the cast member.
    """
    if pose.get("hidden", REST["hidden"]):
        return ()
    axes = joints(figure, pose, base)
    level = _number(pose, "level", 0.0)
    placed: list[Placed] = []
    for name in figure.order:
        if pose.get(f"{name}.hidden", False):
            continue
        joint = axes[name]
        piece = figure.character.pieces[name]
        cutout = figure.cutouts[piece.cutout_when(joint.shows)]
        px, py = own_pin(figure, name, joint.shows)
        k = cutout.mm_per_px
        matrix = Affine(k, 0.0, 0.0, -k, -px * k, py * k).then(joint.axes)
        placed.append(
            Placed(
                who,
                name,
                cutout.name,
                matrix,
                (joint.axes.e, joint.axes.f),
                joint.axes.angle,
                level + _number(pose, f"{name}.level", 0.0),
            )
        )
    return tuple(placed)


def own_pin(figure: Figure, piece: str, shows: str) -> tuple[float, float]:
    """The pin by which a piece hangs, in pixels of the cut-out that shows."""
    spec = figure.character.pieces[piece]
    if spec.pin is not None:
        return cast("tuple[float, float]", spec.pin_when(spec.pin, shows))
    cutout = figure.cutouts[spec.cutout_when(shows)]
    return cutout.width / 2, cutout.height / 2


def pin_offset(figure: Figure, piece: str, pin: str, shows: str) -> tuple[float, float]:
    """A pin's place in millimetres about the piece's own pin, y up."""
    spec = figure.character.pieces[piece]
    x, y = cast("tuple[float, float]", spec.pin_when(pin, shows))
    ox, oy = own_pin(figure, piece, shows)
    k = figure.cutouts[spec.cutout_when(shows)].mm_per_px
    return (x - ox) * k, (oy - y) * k


def pin_frame(figure: Figure, pose: Pose, piece: str, pin: str, base: Affine = HERE) -> Affine:
    """The plane at a pin, to the table: what another member rides on."""
    joint = joints(figure, pose, base)[piece]
    x, y = pin_offset(figure, piece, pin, joint.shows)
    return move(x, y).then(joint.axes)


def _number(pose: Pose, channel: str, rest: float) -> float:
    return cast(float, pose.get(channel, rest))
