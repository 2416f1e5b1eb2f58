"""A split cut-out as a character."""

from __future__ import annotations

from collections.abc import Mapping

from splitpin.character.character import Character, Piece
from splitpin.cutout.split import Part, Parts


def jointed(found: Parts, cutouts: Mapping[str, str], degrees: float, title: str = "") -> Character:
    """Hang the pieces of a split cut-out on one another, as they lay.

    Parameters
    ----------
    found
        The pieces.
    cutouts
        The name of each piece's cut-out.
    degrees
        How far each turns either way, 0..180.
    title
        What the character is called.

    Notes
    -----
    A piece's own pin is called ``joint``; the pin that it hangs on has the piece's name.
    """
    boxes = {part.name: part.box for part in found.parts}
    pieces: dict[str, Piece] = {}
    for part in found.parts:
        hung = [p for p in found.parts if p.holder == part.name]
        pins = {p.name: _at(p, boxes[part.name]) for p in hung}
        if part.holder is None:
            pieces[part.name] = Piece(cutout=cutouts[part.name], pins=pins)
            continue
        own = own_pin(pins)
        pieces[part.name] = Piece(
            cutout=cutouts[part.name],
            on=f"{part.holder}.{part.name}",
            pin=own,
            pins={own: _at(part, part.box)} | pins,
            limits=(-float(degrees), float(degrees)),
        )
    return Character(format=1, title=title, pieces=pieces, order=list(found.order))


def own_pin(taken: Mapping[str, object]) -> str:
    """The name of a piece's own pin: ``joint``, unless a piece that hangs on it is called that."""
    return "joint" if "joint" not in taken else "own-joint"


def _at(part: Part, box: tuple[int, int, int, int]) -> tuple[float, float]:
    x, y = part.pin or (0.0, 0.0)
    return round(x - box[0], 3), round(y - box[1], 3)
