"""The order in which set-ups are shot: few changes of background, field and light; destruction late."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Annotated

from pydantic import Field

from splitpin.measure.plain import Plain
from splitpin.sheet.shooting.setups import SetUp

EXACT = 11
"""So many set-ups are put into the best order there is; more of them into a good one."""
Minutes = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=10_000)]


class Changes(Plain):
    """``[changes]``: what a change of the table costs, minutes; all by common practice, no source."""

    background: Minutes = 10.0
    """Another background is laid and levelled."""
    field: Minutes = 6.0
    """The camera is set to another width of the field, and focused."""
    view: Minutes = 2.0
    """It looks at another place, as wide as before, or at another angle."""
    light: Minutes = 5.0
    """The table has another colour, for which light is set anew."""
    again: Minutes = 30.0
    """A piece that was destroyed too early is made again."""
    early: Minutes = 0.5
    """Something is destroyed before all else is shot, though nothing else needs it."""


def change(a: SetUp, b: SetUp, costs: Changes) -> float:
    """What it takes to go from one set-up to another, minutes."""
    total = 0.0
    if a.background != b.background:
        total += costs.background
    if a.paper != b.paper:
        total += costs.light
    if a.view is None or b.view is None:
        total += costs.view if a.view != b.view else 0.0
    elif abs(a.view.width - b.view.width) > 1e-6:
        total += costs.field
    elif a.view != b.view:
        total += costs.view
    return total


def too_early(a: SetUp, b: SetUp, costs: Changes) -> float:
    """What it costs that ``a`` is shot before ``b``, minutes: pieces made again."""
    if not a.spoilt:
        return 0.0
    return costs.again * len(a.spoilt & b.pieces) + (0.0 if b.spoilt else costs.early)


def cost(order: Sequence[SetUp], costs: Changes) -> float:
    """What an order costs in all, minutes."""
    total = sum(change(a, b, costs) for a, b in pairwise(order))
    return total + sum(too_early(a, b, costs) for n, a in enumerate(order) for b in order[n + 1 :])


def shooting_order(story: Sequence[SetUp], costs: Changes) -> list[SetUp]:
    """The set-ups in an order that costs little, and never more than the order of the story.

    Up to :data:`EXACT` of them are put into the best order (Held and Karp's dynamic programme over sets,
    1962); of equally good ones into that which follows the story.
    """
    count = len(story)
    table = _Table(story, costs)
    if count <= EXACT:
        found = _exact(table)
    else:
        greedy = sorted(
            (_greedy(table, first) for first in range(count)), key=lambda one: (table.of(one), one)
        )
        starts = [list(range(count)), *greedy[:3]]
        found = min((_improved(table, start) for start in starts), key=lambda one: (table.of(one), one))
    return [story[n] for n in found]


class _Table:
    """Costs between set-ups by their numbers."""

    def __init__(self, story: Sequence[SetUp], costs: Changes) -> None:
        self.count = len(story)
        self.change = [[change(a, b, costs) for b in story] for a in story]
        self.early = [[too_early(a, b, costs) for b in story] for a in story]

    def of(self, order: Sequence[int]) -> float:
        total = sum(self.change[a][b] for a, b in pairwise(order))
        total += sum(self.early[a][b] for n, a in enumerate(order) for b in order[n + 1 :])
        return round(total, 6)


def _exact(table: _Table) -> list[int]:
    count = table.count
    if count == 0:
        return []
    best: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {
        (1 << n, n): (0.0, (n,)) for n in range(count)
    }
    for size in range(1, count):
        for (done, last), (so_far, way) in list(best.items()):
            if done.bit_count() != size:
                continue
            for n in range(count):
                if done >> n & 1:
                    continue
                more = table.change[last][n] + sum(table.early[m][n] for m in way)
                key, option = (done | 1 << n, n), (round(so_far + more, 6), (*way, n))
                if key not in best or option < best[key]:
                    best[key] = option
    everything = (1 << count) - 1
    return list(min(best[everything, last] for last in range(count))[1])


def _greedy(table: _Table, first: int) -> list[int]:
    order, left = [first], [n for n in range(table.count) if n != first]
    while left:
        near = min(left, key=lambda n: (table.change[order[-1]][n] + sum(table.early[n][m] for m in left), n))
        order.append(near)
        left.remove(near)
    return order


def _improved(table: _Table, order: list[int]) -> list[int]:
    """Runs are moved, or turned round, as long as that helps."""
    best = table.of(order)
    going = True
    while going:
        going = False
        for tried in _neighbours(order):
            total = table.of(tried)
            if total < best - 1e-9:
                order, best, going = tried, total, True
                break
    return order


def _neighbours(order: list[int]) -> list[list[int]]:
    count = len(order)
    found = []
    for a in range(count):
        for b in range(a + 1, min(count, a + 8) + 1):
            run, rest = order[a:b], order[:a] + order[b:]
            found.append(order[:a] + run[::-1] + order[b:])
            if b - a <= 3:
                found += [rest[:at] + run + rest[at:] for at in range(len(rest) + 1) if at != a]
    return found
