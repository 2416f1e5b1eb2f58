"""The unsteadiness of the hands that lay pieces down."""

from __future__ import annotations

from zlib import crc32

import numpy as np

from splitpin.character.place import Placed
from splitpin.measure.affine import move, turn_about
from splitpin.scene.scene import Tremble

ALMOST = 1e-6
"""A piece that lies within this of where it lay, mm, was not moved."""


def disturb(piece: Placed, tremble: Tremble, seed: int, frame: int) -> Placed:
    """Lay a piece a little beside its place.

    The amount depends only on the seed, the piece and the frame, so that changing one move leaves the tremble
    of all others as it was.
    """
    random = np.random.default_rng([seed, crc32(f"{piece.who}.{piece.piece}".encode()), frame])
    dx, dy, twist = random.standard_normal(3)
    x, y = piece.pin
    dx, dy, twist = dx * tremble.mm, dy * tremble.mm, twist * tremble.degrees
    moved = piece.matrix.then(turn_about(float(twist), x, y)).then(move(float(dx), float(dy)))
    return piece._replace(matrix=moved, pin=(x + float(dx), y + float(dy)), angle=piece.angle + float(twist))


def _lies_the_same(was: Placed, now: Placed) -> bool:
    # A planted foot is worked out anew for each step of the body over it, and comes out to within rounding.
    if was == now:
        return True
    same_piece = was.cutout == now.cutout and was.level == now.level
    return same_piece and all(abs(a - b) < ALMOST for a, b in zip(was.matrix, now.matrix, strict=True))


class Hands:
    """Hands that lay pieces down: a piece that does not move keeps the place it was given."""

    def __init__(self, tremble: Tremble, seed: int) -> None:
        self.tremble, self.seed = tremble, seed
        self.steady = tremble.mm == 0 and tremble.degrees == 0
        self.laid: dict[tuple[str, str], tuple[Placed, Placed]] = {}

    def lay(self, plan: tuple[Placed, ...], frame: int) -> tuple[Placed, ...]:
        """Where the pieces of a plan come to lie; what opens the scene lies as planned."""
        if self.steady:
            return plan
        opens = not self.laid
        for piece in plan:
            key = piece.who, piece.piece
            if key in self.laid and _lies_the_same(self.laid[key][0], piece):
                continue
            self.laid[key] = piece, piece if opens else disturb(piece, self.tremble, self.seed, frame)
        return tuple(self.laid[p.who, p.piece][1] for p in plan)
