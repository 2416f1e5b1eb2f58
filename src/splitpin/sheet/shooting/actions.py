"""What hands do between one exposure and the next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal, NamedTuple

from splitpin.character.place import Placed
from splitpin.measure.affine import Affine
from splitpin.sheet.sheet import Row

Kind = Literal["laid", "taken away", "swapped", "moved"]
SAME = 1e-6
"""What differs by less lies as it lay, mm and pixels."""
Key = tuple[str, str]


class Action(NamedTuple):
    """One thing that hands do."""

    kind: Kind
    who: str
    """The member."""
    pieces: tuple[str, ...]
    """What goes along in one grip: pieces that keep their places to one another."""
    by: Affine
    """How they move on the table, mm; nothing for what is laid or taken away."""


def actions(before: Row | None, now: Row) -> tuple[Action, ...]:
    """What is done before an exposure is taken, in the order of the stack.

    Pieces of a member that move alike are one grip: a figure that slides is one action, and one more for
    each limb that turns.

    Parameters
    ----------
    before
        The exposure before it; None for the first, for which everything is laid.
    now
        The exposure.
    """
    if before is not None and before.placed is now.placed:
        return ()
    old = _by_piece(before)
    new = _by_piece(now)
    return (*_gone(old, new), *_come(old, new), *_moved(old, new))


def _by_piece(row: Row | None) -> Mapping[Key, Placed]:
    return {(one.who, one.piece): one for one in row.placed} if row is not None else {}


def _gone(old: Mapping[Key, Placed], new: Mapping[Key, Placed]) -> Iterator[Action]:
    yield from _together("taken away", [key for key in old if key not in new])


def _come(old: Mapping[Key, Placed], new: Mapping[Key, Placed]) -> Iterator[Action]:
    yield from _together("laid", [key for key in new if key not in old])


def _together(kind: Kind, keys: list[Key]) -> Iterator[Action]:
    """A figure on its pins is laid, and taken away, as one."""
    found: dict[str, list[str]] = {}
    for who, piece in keys:
        found.setdefault(who, []).append(piece)
    for who, pieces in found.items():
        yield Action(kind, who, tuple(pieces), Affine())


def _moved(old: Mapping[Key, Placed], new: Mapping[Key, Placed]) -> Iterator[Action]:
    grips: dict[tuple[str, Affine], list[str]] = {}
    for (who, piece), now in new.items():
        was = old.get((who, piece))
        if was is None or was is now:
            continue
        if was.cutout != now.cutout:
            yield Action("swapped", who, (piece,), Affine())
            continue
        if max(abs(a - b) for a, b in zip(was.matrix, now.matrix, strict=True)) < SAME:
            continue
        by = was.matrix.inverse().then(now.matrix)
        near = next((k for k in grips if k[0] == who and _alike(k[1], by)), (who, by))
        grips.setdefault(near, []).append(piece)
    for (who, by), pieces in grips.items():
        yield Action("moved", who, tuple(pieces), by)


def _alike(a: Affine, b: Affine) -> bool:
    """Whether two moves take everything on the table to the same place, within a hundredth of a mm."""
    turned = max(abs(x - y) for x, y in zip(a[:4], b[:4], strict=True)) < 1e-5
    return turned and max(abs(x - y) for x, y in zip(a[4:], b[4:], strict=True)) < 1e-2
