"""Costly shots, each with a cheaper way and what it saves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from splitpin.motion.scuttle import Scuttle
from splitpin.motion.walk import Walk
from splitpin.scene.scene import Scene
from splitpin.sheet.shooting.actions import actions
from splitpin.sheet.shooting.hours import Pace, Work


class Cheaper(NamedTuple):
    """A set-up that costs much, and a way to have it for less."""

    setup: str
    seconds: float
    """Of work for each second on the screen."""
    way: str
    saves: float
    """Seconds of work."""


def cheaper(left: Sequence[Work], scenes: Mapping[str, Scene], rate: float, pace: Pace) -> list[Cheaper]:
    """The costlier half of the set-ups, those first of which most can be saved."""
    told = []
    for work in left:
        if work.exposures == 0:
            continue
        long = sum(row.frames for row in work.setup.rows) / rate
        way, saves = max(_ways(work, scenes[work.setup.scene], pace), key=lambda one: one[1])
        if saves >= 60.0:
            told.append(Cheaper(work.setup.name, work.seconds / long, way, saves))
    dear = sorted((one.seconds for one in told), reverse=True)
    least = dear[len(dear) // 2] if dear else 0.0
    return sorted((one for one in told if one.seconds >= least), key=lambda one: -one.saves)


def _ways(work: Work, scene: Scene, pace: Pace) -> list[tuple[str, float]]:
    rows = work.setup.rows
    by_who: dict[str, int] = {}
    most = 0
    busy = ""
    limbs: dict[str, int] = {}
    for before, now in pairwise(rows):
        for action in actions(before, now):
            by_who[action.who] = by_who.get(action.who, 0) + 1
            if by_who[action.who] > most:
                busy, most = action.who, by_who[action.who]
        for who in {action.who for action in actions(before, now)}:
            several = sum(1 for action in actions(before, now) if action.who == who)
            limbs[who] = limbs.get(who, 0) + several - 1
    share = work.exposures / max(1, len(rows))
    moving = work.setup.moving * share
    on = min((row.frames for row in rows), default=2)
    saved = moving * (pace.exposure + pace.action * work.actions / max(1.0, moving)) / (on + 1)
    ways = [(f"hold each position for {on + 1} frames instead of {on}", saved)]
    walkers = {move.who for move in scene.moves if isinstance(move, Walk | Scuttle)}
    for who in walkers & set(limbs):
        ways.append((f"let {who} slide instead of walking", limbs[who] * pace.action * share))
    if busy and limbs.get(busy, 0) and busy not in walkers:
        ways.append((f"move {busy} in one piece, its limbs at rest", limbs[busy] * pace.action * share))
    crowd = [who for who, count in by_who.items() if count >= most / 2]
    if len(crowd) > 3:
        few = sum(sorted(by_who[who] for who in crowd)[: len(crowd) // 2])
        ways.append((f"let half of the {len(crowd)} that move at once lie still", few * pace.action * share))
    return ways
