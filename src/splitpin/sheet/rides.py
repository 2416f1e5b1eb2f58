"""Who is carried by whom."""

from __future__ import annotations

from collections.abc import Mapping

from splitpin.character.figure import Figure
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.scene.scene import Member


def ride_order(
    cast: Mapping[str, Member], figures: Mapping[str, Figure]
) -> tuple[dict[str, tuple[str, str, str] | None], list[Fault]]:
    """The members, each after the one that carries it, with the pin it rides on."""
    faults: list[Fault] = []
    on: dict[str, tuple[str, str, str] | None] = dict.fromkeys(figures)
    for who, member in cast.items():
        if member.rides is None or who not in figures:
            continue
        carrier, piece, pin = member.rides.split(".")
        path = ("cast", who, "rides")
        if carrier not in figures:
            faults.append(
                Fault(path, f"{carrier!r} is not in the cast", "a member", likely(carrier, figures))
            )
            continue
        pieces = figures[carrier].character.pieces
        bare = cast[carrier].cutout if carrier in cast else None
        if bare is not None and not any(p.pins for p in pieces.values()):
            faults.append(_bare(path, carrier, bare, pin))
            continue
        if piece not in pieces:
            faults.append(Fault(path, f"{carrier} has no piece {piece!r}", "a piece", likely(piece, pieces)))
            continue
        shown = list(pieces[piece].set) or [""]
        if any(pieces[piece].pin_when(pin, s) is None for s in shown):
            faults.append(
                Fault(path, f"{carrier}.{piece} has no pin {pin!r}", "a pin", likely(pin, pieces[piece].pins))
            )
            continue
        on[who] = (carrier, piece, pin)
    ordered: dict[str, tuple[str, str, str] | None] = {}
    waiting = list(on)
    while waiting:
        ready = [w for w in waiting if (ride := on[w]) is None or ride[0] in ordered]
        if not ready:
            faults.append(
                Fault(
                    ("cast", waiting[0], "rides"),
                    f"members ride on one another in a ring: {', '.join(waiting)}",
                    "someone who stands on the table",
                    "let one of them ride on nothing",
                )
            )
            ordered.update(dict.fromkeys(waiting))
            break
        for w in ready:
            ordered[w] = on[w]
            waiting.remove(w)
    return ordered, faults


def _bare(path: tuple[str | int, ...], carrier: str, cutout: str, pin: str) -> Fault:
    return Fault(
        path,
        f"{carrier} is a bare cut-out, which has no pins to ride on",
        "a member with a character",
        f"write characters/{carrier}.toml with `format = 1` and `[pieces.{carrier}]`, under it "
        f'`cutout = "{cutout}"` and `pins = {{ {pin} = [x, y] }}` in pixels of its picture; then '
        f'give the member `character = "{carrier}"` instead of `cutout`, '
        f"and ride on `{carrier}.{carrier}.{pin}`",
    )
