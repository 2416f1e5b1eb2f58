"""Pin pieces together: whatever is changed, everything else of the figure at rest stays where it lies.

Comes in: a character, its measured cut-outs, and places in millimetres on the plane that the figure stands
on, its root pin at the origin, y up. Goes out: the character as it is then.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from splitpin.character.character import Character, Piece, Replacement
from splitpin.character.figure import Figure, assemble
from splitpin.character.place import Joint, joints
from splitpin.cutout.cutout import Cutout
from splitpin.measure.likely import likely
from splitpin.measure.plain import Point

Cutouts = Mapping[str, Cutout]


class PinError(ValueError):
    """Something that cannot be pinned so: what was found, what was expected, what to do."""

    def __init__(self, found: str, expected: str, remedy: str) -> None:
        super().__init__(f"{found}; expected {expected}; {remedy}")
        self.found, self.expected, self.remedy = found, expected, remedy


def begun(pieces: Mapping[str, str], cutouts: Cutouts, title: str = "") -> Character:
    """A figure of two or more cut-outs: the first carries the others, which lie side by side on it.

    Parameters
    ----------
    pieces
        The cut-out of each piece.
    cutouts
        Those cut-outs.
    title
        What stands on its envelope.
    """
    if len(pieces) < 2:
        raise PinError(f"{len(pieces)} pieces", "two or more", "choose another cut-out")
    root, *others = pieces
    character = Character(format=1, title=title, pieces={root: Piece(cutout=pieces[root])}, order=[root])
    wide = cutouts[pieces[root]].width_mm * 0.8
    for n, name in enumerate(others):
        at = (wide * ((n + 0.5) / len(others) - 0.5), 0.0)
        character = added(character, cutouts, name, pieces[name], at)
    return character


def added(character: Character, cutouts: Cutouts, piece: str, cutout: str, at: Point) -> Character:
    """One piece more, on top of the others; its middle lies at ``at`` and hangs on the root."""
    if piece in character.pieces:
        raise PinError(f"a second piece {piece!r}", "a new name", "call it something else")
    figure = _figure(character, cutouts)
    root = figure.root
    hook = _unused(piece, character.pieces[root])
    pieces = dict(character.pieces)
    pieces[root] = _with_pin(pieces[root], hook, _pixels(joints(figure, {})[root], at))
    pieces[piece] = Piece(cutout=cutout, on=f"{root}.{hook}")
    return _built(character, pieces, [*figure.order, piece])


def laid(character: Character, cutouts: Cutouts, piece: str, at: Point) -> Character:
    """Lay a piece elsewhere, with all that hangs on it: its pin comes to ``at``."""
    own = _piece(character, piece)
    if own.on is None:
        raise PinError(
            f"{piece!r} carries all others", "a piece that hangs on another", "lay the others instead"
        )
    figure = _figure(character, cutouts)
    holder, hook = own.on.split(".")
    pieces = dict(character.pieces)
    if pieces[holder].pin == hook or _hang_on(character, own.on) != {piece}:
        hook = _free(character, holder, piece)
        pieces[piece] = own.model_copy(update={"on": f"{holder}.{hook}"})
    pieces[holder] = _with_pin(pieces[holder], hook, _pixels(joints(figure, {})[holder], at))
    return _built(character, pieces)


def pinned(character: Character, cutouts: Cutouts, piece: str, at: Point) -> Character:
    """Put the pin that a piece hangs and turns by through the place ``at``; the piece stays where it lies.

    The root's pin is the place of the whole figure.
    """
    own = _piece(character, piece)
    figure = _figure(character, cutouts)
    name = own.pin or ""
    if not name or _hang_on(character, f"{piece}.{name}"):
        name = _unused("joint", own)
    place = _pixels(joints(figure, {})[piece], at)
    pieces = dict(character.pieces)
    pieces[piece] = _with_pin(own, name, place).model_copy(update={"pin": name})
    there = _built(character, pieces)
    return there if own.on is None else laid(there, cutouts, piece, at)


def hung(character: Character, cutouts: Cutouts, piece: str, holder: str) -> Character:
    """Hang a piece on another one; it stays where it lies."""
    own = _piece(character, piece)
    _piece(character, holder)
    if own.on is None:
        raise PinError(
            f"{piece!r} carries all others", "a piece that hangs on another", "hang the others on it"
        )
    if holder in below(character, piece):
        raise PinError(f"{holder!r} hangs on {piece!r} itself", "a piece that does not", "choose another")
    figure = _figure(character, cutouts)
    lying = joints(figure, {})
    axes, under = lying[piece].axes, lying[holder].axes
    if own.on.startswith(f"{holder}."):
        return character
    hook = _free(character, holder, piece)
    pieces = dict(character.pieces)
    pieces[holder] = _with_pin(pieces[holder], hook, _pixels(lying[holder], (axes.e, axes.f)))
    turned = round((axes.angle - under.angle + 180) % 360 - 180, 6)
    size = round(axes.stretch / under.stretch, 9)
    pieces[piece] = own.model_copy(update={"on": f"{holder}.{hook}", "angle": turned, "scale": size})
    return _built(character, pieces)


def without(character: Character, cutouts: Cutouts, piece: str) -> Character:
    """Take a piece away; what hung on it hangs on its holder then, where it lies."""
    own = _piece(character, piece)
    if own.on is None:
        raise PinError(
            f"{piece!r} carries all others", "a piece that hangs on another", "leave it, or begin anew"
        )
    holder = own.on.split(".")[0]
    for name, other in character.pieces.items():
        if (other.on or "").startswith(f"{piece}."):
            character = hung(character, cutouts, name, holder)
    pieces = {name: one for name, one in character.pieces.items() if name != piece}
    return _built(character, pieces, [name for name in character.order or character.pieces if name != piece])


def replaced(character: Character, cutouts: Cutouts, piece: str, name: str, cutout: str) -> Character:
    """Give a piece one cut-out more that can lie in its place; a plain piece becomes a replacement set.

    Pins lie on it as on the one that shows at rest: as far across and as far down it.
    """
    own = _piece(character, piece)
    first = own.cutout_when(own.resting_show)
    kept = dict(own.set) or {first: Replacement(cutout=first)}
    if name in kept:
        raise PinError(f"a second {name!r} in the set", "a new name", "call it something else")
    old, new = cutouts[first], cutouts[cutout]
    across, down = new.width / old.width, new.height / old.height
    pins: dict[str, Point] = {}
    if (old.width, old.height) != (new.width, new.height):
        places = {pin: own.pin_when(pin, own.resting_show) for pin in own.pins}
        pins = {pin: (round(p[0] * across, 3), round(p[1] * down, 3)) for pin, p in places.items() if p}
    kept[name] = Replacement(cutout=cutout, pins=pins)
    changed = own.model_copy(
        update={"cutout": None, "set": kept, "shows": own.shows or next(iter(kept))},
    )
    return _built(character, {**character.pieces, piece: changed})


def below(character: Character, piece: str) -> frozenset[str]:
    """A piece and all that hangs on it."""
    found = {piece}
    while more := {
        name
        for name, one in character.pieces.items()
        if name not in found and one.on is not None and one.on.split(".")[0] in found
    }:
        found |= more
    return frozenset(found)


def _figure(character: Character, cutouts: Cutouts) -> Figure:
    return assemble("", character, dict(cutouts))


def _piece(character: Character, name: str) -> Piece:
    if name not in character.pieces:
        raise PinError(f"no piece {name!r}", "a piece of the character", likely(name, character.pieces))
    return character.pieces[name]


def _pixels(joint: Joint, at: Point) -> Point:
    """Where a place of the plane lies in the pixels of a piece."""
    x, y = joint.axes.inverse().apply(*at)
    k, (px, py) = joint.showing.mm_per_px, joint.showing.pin
    return round(px + x / k, 3), round(py - y / k, 3)


def _with_pin(piece: Piece, name: str, at: Point) -> Piece:
    """A piece with a pin there; on the replacement that shows at rest, where that has one of its own."""
    shows = piece.resting_show
    if piece.set and name in piece.set[shows].pins:
        one = piece.set[shows]
        own = one.model_copy(update={"pins": {**one.pins, name: at}})
        return piece.model_copy(update={"set": {**piece.set, shows: own}})
    return piece.model_copy(update={"pins": {**piece.pins, name: at}})


def _unused(name: str, piece: Piece) -> str:
    taken = {*piece.pins, *(pin for one in piece.set.values() for pin in one.pins)}
    tries = (name, *(f"{name}-{n}" for n in range(2, len(taken) + 3)))
    return next(one for one in tries if one not in taken)


def _hang_on(character: Character, hook: str) -> set[str]:
    """The pieces that hang on a pin, ``piece.pin``."""
    return {name for name, one in character.pieces.items() if one.on == hook}


def _free(character: Character, holder: str, piece: str) -> str:
    """A pin of a holder for a piece: the one that it left there before, or a new one."""
    own = character.pieces[holder]
    left = piece in own.pins and piece != own.pin and not _hang_on(character, f"{holder}.{piece}")
    return piece if left else _unused(piece, own)


def _built(
    character: Character, pieces: Mapping[str, Piece], order: Sequence[str] | None = None
) -> Character:
    """The character with these pieces. Pins that nothing hangs on stay: something may ride on them."""
    update: dict[str, object] = {"pieces": dict(pieces)}
    if order is not None:
        update["order"] = list(order)
    return character.model_copy(update=update)
