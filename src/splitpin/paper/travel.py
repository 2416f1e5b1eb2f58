"""What travels in a scene, read from its rows: the places of each travelling piece's pin.

A member travels when its place changes, a piece when its shift off its pin does. What is only carried along,
by the piece it hangs on or by the member it rides on, has no strip of its own: it goes with its carrier.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from math import hypot
from typing import NamedTuple

from splitpin.paper.kitting import Staged
from splitpin.sheet.sheet import Row

Spot = tuple[float, float]
SAME = 1e-4
"""Places nearer than this, mm, are the same place."""
LEAST = 0.1
"""No hand lays a piece more finely, mm: what travels less has no strip."""
HOLD = 4
"""So many exposures in one place end a strip, and another begins there."""
STRAIGHT = 0.02
"""How far a straight strip's places may lie beside its edge, mm."""
MOST, MOST_BENT = 40, 24
"""A strip that turns back on itself has no more places than this; where it is no straight one, than that."""


class Stop(NamedTuple):
    """One place of a piece, and the exposures for which it lies there; they count from 1."""

    place: Spot
    """Of its pin on the table, mm."""
    first: int
    last: int
    frame: int
    """Its first frame, counted from 0 as on the sheet."""
    until: int
    """Its last frame."""

    @property
    def words(self) -> str:
        """Exposures, then frames: ``12 · 22``, ``12–20 · 22–39``."""
        return f"{span(self.first, self.last)} · {span(self.frame, self.until)}"


class Run(NamedTuple):
    """One journey of a piece."""

    scene: str
    who: str
    piece: str
    stops: tuple[Stop, ...]

    @property
    def places(self) -> tuple[Spot, ...]:
        """Where its pin lies, one after the other."""
        return tuple(stop.place for stop in self.stops)

    @property
    def name(self) -> str:
        """Whose it is: ``cup.saucer``, or ``coin`` of a bare cut-out."""
        return self.who if self.piece == "piece" else f"{self.who}.{self.piece}"


def span(first: int, last: int) -> str:
    """Numbers from the first to the last: ``3`` or ``3–7``."""
    return f"{first}" if first == last else f"{first}–{last}"


def runs(staged: Staged) -> list[Run]:
    """Every journey of a scene, in the order of the cast, then of time."""
    found = []
    for who, figure in staged.figures.items():
        for bone in figure.ladder:
            channels = [bone.channels[1], bone.channels[2]] + (["x", "y"] if bone.name == figure.root else [])
            if not changes(staged.sheet.rows, who, channels):
                continue
            for whole in stops(staged.sheet.rows, who, bone.name):
                for part in _parts(whole):
                    found.append(Run(staged.name, who, bone.name, tuple(part)))
    return found


def changes(rows: Sequence[Row], who: str, channels: Sequence[str]) -> bool:
    """Whether any of a member's channels changes during the scene."""
    last: Mapping[str, object] | None = None
    values: tuple[object, ...] | None = None
    for row in rows:
        pose = row.poses.get(who)
        if pose is None or pose is last:
            continue
        now = tuple(pose.get(channel) for channel in channels)
        if values is not None and now != values:
            return True
        last, values = pose, now
    return False


def stops(rows: Sequence[Row], who: str, piece: str) -> Iterator[list[Stop]]:
    """Where a piece lies, for each time it is on the table without a break."""
    now: list[Stop] = []
    for n, row in enumerate(rows, 1):
        lying = next((p for p in row.placed if p.piece == piece and p.who == who), None)
        if lying is None:
            if now:
                yield now
            now = []
            continue
        until = row.frame + row.frames - 1
        if now and apart(now[-1].place, lying.pin) < SAME:
            now[-1] = now[-1]._replace(last=n, until=until)
        else:
            now.append(Stop(lying.pin, n, n, row.frame, until))
    if now:
        yield now


def apart(a: Spot, b: Spot) -> float:
    """How far two places are apart, mm."""
    return hypot(b[0] - a[0], b[1] - a[1])


def is_straight(places: Sequence[Spot]) -> bool:
    """Whether all places lie on one straight edge, wherever on it."""
    a = places[0]
    b = max(places, key=lambda place: apart(a, place))
    long = apart(a, b)
    if long == 0:
        return True
    ux, uy = (b[0] - a[0]) / long, (b[1] - a[1]) / long
    return all(abs(ux * (y - a[1]) - uy * (x - a[0])) <= STRAIGHT for x, y in places)


def turns_back(places: Sequence[Spot]) -> bool:
    """Whether any step goes against the one before it."""
    steps = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(places)]
    return any(a[0] * b[0] + a[1] * b[1] < 0 for a, b in pairwise(steps))


def _parts(whole: Sequence[Stop]) -> Iterator[list[Stop]]:
    """Journeys between holds; straight ones that go on where the last one ended stay one."""
    journeys: list[list[Stop]] = []
    now: list[Stop] = []
    for stop in whole:
        now.append(stop)
        if stop.last - stop.first + 1 >= HOLD:
            journeys.append(now)
            now = [stop]
    journeys.append(now)
    joined: list[list[Stop]] = []
    for journey in journeys:
        if len(journey) < 2 or _extent(journey) < LEAST:
            continue
        if joined and joined[-1][-1] == journey[0]:
            both = [*joined[-1], *journey[1:]]
            places = [stop.place for stop in both]
            if is_straight(places) and not turns_back(places):
                joined[-1] = both
                continue
        joined.append(journey)
    for journey in joined:
        places = [stop.place for stop in journey]
        most = len(journey) if not turns_back(places) else MOST if is_straight(places) else MOST_BENT
        # each begins where the last one ended
        for start in range(0, len(journey) - 1, most - 1):
            yield journey[start : start + most]


def _extent(journey: Sequence[Stop]) -> float:
    return max(apart(journey[0].place, stop.place) for stop in journey)
