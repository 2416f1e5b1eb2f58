"""Where a piece is pinned, and what of it lies under its neighbours."""

from __future__ import annotations

from typing import NamedTuple

from shapely import MultiPolygon, Point, get_parts
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from splitpin.character.figure import Figure
from splitpin.character.place import Placed, place
from splitpin.character.pose import Value
from splitpin.measure.affine import Affine, stretch
from splitpin.paper.kitting import Cut, Kitting
from splitpin.paper.wanted import FLAT, Item, paper_of

LEAST = 4.0
"""An overlap smaller than this, mm², holds nothing together."""


class Pinned(NamedTuple):
    """A pin that holds a piece."""

    at: tuple[float, float]
    """mm, y up, about the top left corner of its picture."""
    to: str
    """The piece on the other side."""
    through: bool
    """Whether a split pin goes through; else one is glued, or laid, on the other."""


class Under(NamedTuple):
    """What of a piece lies under a neighbour at rest."""

    neighbour: str
    shape: MultiPolygon
    """mm, y up, about the top left corner of its picture."""


def pins(kitting: Kitting, item: Item) -> list[Pinned]:
    """Where a piece hangs on others and others on it, if there is paper; nowhere for bare cut-outs."""
    figure = figure_of(kitting, item)
    if figure is None:
        return []
    specs = figure.character.pieces
    bone = next(bone for bone in figure.ladder if bone.name == item.piece)
    found = []
    if bone.holder is not None:
        at = item.flat.apply(*bone.showings[item.shows].pin)
        found.append(Pinned(at, bone.holder, specs[item.piece].pin is not None))
    for other in figure.ladder:
        if other.holder == item.piece:
            pin = specs[item.piece].pin_when(other.hook, item.shows)
            if pin is not None:
                through = specs[other.name].pin is not None
                found.append(Pinned(item.flat.apply(*pin), other.name, through))
    paper = item.shape()
    return [pinned for pinned in found if paper.covers(Point(pinned.at))]


def under(kitting: Kitting, item: Item) -> list[Under]:
    """Where a piece lies under those that it is pinned to, at rest."""
    figure = figure_of(kitting, item)
    if figure is None:
        return []
    pose: dict[str, Value] = {f"{item.piece}.shows": item.shows} if item.shows else {}
    lying = {placed.piece: placed for placed in place(figure, pose)}
    own = lying[item.piece]
    mine = _on_table(item.cut, own)
    found = []
    for pinned in pins(kitting, item):
        if pinned.through and figure.order.index(pinned.to) > figure.order.index(item.piece):
            other = lying[pinned.to]
            both = mine.intersection(_on_table(kitting.cut(other.cutout), other))
            parts = [part for part in get_parts(both) if part.geom_type == "Polygon" and part.area >= LEAST]
            if parts:
                back = own.matrix.inverse().then(item.flat)
                found.append(Under(pinned.to, MultiPolygon(get_parts(turned(MultiPolygon(parts), back)))))
    return found


def figure_of(kitting: Kitting, item: Item) -> Figure | None:
    """The character that a piece belongs to; None for bare cut-outs."""
    for staged in kitting.scenes:
        for who, character in staged.characters.items():
            if character == item.envelope:
                return staged.figures[who]
    return None


def turned(shape: BaseGeometry, by: Affine) -> BaseGeometry:
    """A shape mapped."""
    a, b, c, d, e, f = by
    return affine_transform(shape, [a, c, b, d, e, f])


def _on_table(cut: Cut, placed: Placed) -> BaseGeometry:
    return turned(paper_of(cut.outline, FLAT), stretch(1 / cut.mm_per_px).then(placed.matrix))
