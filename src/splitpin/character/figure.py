"""A character together with its measured cut-outs, made ready for placing."""

from __future__ import annotations

from typing import NamedTuple

from splitpin.character.character import Character, Piece
from splitpin.cutout.cutout import Cutout


class Showing(NamedTuple):
    """A piece while one of its cut-outs shows."""

    cutout: str
    """The cut-out's name."""
    mm_per_px: float
    """The size of its pixels on the table."""
    pin: tuple[float, float]
    """The piece's own pin in its pixels."""
    hooks: dict[str, tuple[float, float]]
    """Every pin in millimetres about the piece's own pin, y up."""


class Bone(NamedTuple):
    """A piece as placing needs it: everything that does not change from pose to pose, worked out once."""

    name: str
    holder: str | None
    """The piece it hangs on."""
    hook: str
    """The pin of the holder."""
    angle: float
    scale: float
    rest: str
    """What it shows at rest."""
    showings: dict[str, Showing]
    channels: tuple[str, str, str, str, str, str, str]
    """The names of its channels: angle, x, y, scale, shows, hidden, level."""


class Figure(NamedTuple):
    """A character together with the measured cut-outs that it uses: all that placing it needs."""

    name: str
    character: Character
    cutouts: dict[str, Cutout]
    ladder: tuple[Bone, ...]
    """Its pieces, each after the one it hangs on."""
    order: tuple[str, ...]
    """Its pieces as they are stacked, lowest first."""
    limited: tuple[str, ...]
    """Its pieces with limits."""

    @property
    def root(self) -> str:
        """The piece that all others hang on."""
        return self.ladder[0].name


def assemble(name: str, character: Character, cutouts: dict[str, Cutout]) -> Figure:
    """Join a character without faults with its cut-outs.

    ``cutouts`` must hold every cut-out that the character names.
    """
    ladder: list[str] = []
    waiting = list(character.pieces)
    while waiting:
        for piece in waiting:
            on = character.pieces[piece].on
            if on is None or on.split(".")[0] in ladder:
                ladder.append(piece)
                waiting.remove(piece)
                break
        else:
            raise ValueError(f"{name}: pieces hang in a ring: {', '.join(waiting)}")
    bones = tuple(_bone(piece, character.pieces[piece], cutouts) for piece in ladder)
    used = {showing.cutout for bone in bones for showing in bone.showings.values()}
    order = tuple(character.order or character.pieces)
    limited = tuple(piece for piece, spec in character.pieces.items() if spec.limits is not None)
    return Figure(name, character, {c: cutouts[c] for c in sorted(used)}, bones, order, limited)


def lone(name: str, cutout: Cutout) -> Figure:
    """A figure of one loose piece, as a scene's cast may name a bare cut-out."""
    piece = Piece(cutout=cutout.name)
    return assemble(name, Character(format=1, pieces={"piece": piece}), {cutout.name: cutout})


def _bone(name: str, piece: Piece, cutouts: dict[str, Cutout]) -> Bone:
    holder, _, hook = (piece.on or "").partition(".")
    angle, x, y, scale, shows, hidden, level = (
        f"{name}.{channel}" for channel in ("angle", "x", "y", "scale", "shows", "hidden", "level")
    )
    return Bone(
        name,
        holder or None,
        hook,
        piece.angle,
        piece.scale,
        piece.resting_show,
        {s: _showing(piece, s, cutouts[piece.cutout_when(s)]) for s in (list(piece.set) or [""])},
        (angle, x, y, scale, shows, hidden, level),
    )


def _showing(piece: Piece, shows: str, cutout: Cutout) -> Showing:
    middle = (cutout.width / 2, cutout.height / 2)
    own = (piece.pin_when(piece.pin, shows) if piece.pin else None) or middle
    k = cutout.mm_per_px
    names = dict.fromkeys([*piece.pins, *(piece.set[shows].pins if piece.set else ())])
    pins = {pin: piece.pin_when(pin, shows) or middle for pin in names}
    hooks = {pin: ((x - own[0]) * k, (own[1] - y) * k) for pin, (x, y) in pins.items()}
    return Showing(cutout.name, k, own, hooks)
