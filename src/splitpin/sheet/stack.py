"""What lies on what."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from splitpin.character.figure import Figure
from splitpin.character.place import Placed
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely

BACKGROUND = "background"
Ranks = Mapping[tuple[str, str], int]


def rank(order: Sequence[str], figures: Mapping[str, Figure]) -> tuple[Ranks, list[Fault]]:
    """Rank every piece of the cast, the lowest first.

    The background is lowest. A member in ``order`` brings the pieces that ``order`` does not name by
    themselves; members left out lie on top in the order of the cast.
    """
    faults: list[Fault] = []
    alone = {entry for entry in order if "." in entry}
    whole = [m for m in figures if m != BACKGROUND and m not in order]
    ranks: dict[tuple[str, str], int] = {}
    listed: set[str] = set()
    for i, entry in enumerate([BACKGROUND, *order, *whole]):
        who, _, piece = entry.partition(".")
        if entry == BACKGROUND and BACKGROUND not in figures:
            continue
        known = [*figures, *(f"{m}.{p}" for m, f in figures.items() for p in f.order)]
        if entry not in known:
            faults.append(
                Fault(
                    ("order", i - 1),
                    f"{entry!r} is not in the cast",
                    "a member, or member.piece",
                    likely(entry, known),
                )
            )
            continue
        if entry in listed:
            if entry != BACKGROUND:
                faults.append(
                    Fault(("order", i - 1), f"{entry!r} is listed twice", "once", "take one of them out")
                )
            continue
        listed.add(entry)
        for p in [piece] if piece else figures[who].order:
            if piece or f"{who}.{p}" not in alone:
                ranks[who, p] = len(ranks)
    return ranks, faults


def stack(placed: Sequence[Placed], ranks: Ranks) -> tuple[Placed, ...]:
    """Sort pieces from the lowest to the highest: by level, then by rank."""
    return tuple(sorted(placed, key=lambda p: (p.level, ranks[p.who, p.piece])))
