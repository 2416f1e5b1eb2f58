"""Labels side by side: as near to what they tell of as they can be without lying on one another."""

from __future__ import annotations

from collections.abc import Sequence


def spread(wishes: Sequence[float], apart: float, least: float, most: float) -> list[float]:
    """Places in a row.

    Parameters
    ----------
    wishes
        Where labels would like to be, in any order.
    apart
        How far they must be from one another.
    least, most
        Where the row begins and ends; it must be long enough for all of them.

    Returns
    -------
    list[float]
        Their places, in the order of the wishes: the nearest to them in the sense of least squares.

    Notes
    -----
    Less the room that those before need, places must only not fall: that is isotonic regression, solved by
    pooling neighbours that are in one another's way.
    """
    order = sorted(range(len(wishes)), key=lambda n: (wishes[n], n))
    pools: list[tuple[float, int]] = []
    for k, n in enumerate(order):
        mean, count = wishes[n] - k * apart, 1
        while pools and pools[-1][0] > mean:
            before, many = pools.pop()
            mean, count = (before * many + mean * count) / (many + count), many + count
        pools.append((mean, count))
    highest = most - (len(wishes) - 1) * apart
    flat = [min(max(mean, least), highest) for mean, count in pools for _ in range(count)]
    places = [0.0] * len(wishes)
    for k, n in enumerate(order):
        places[n] = flat[k] + k * apart
    return places


def thinned(count: int, most: int, keep: Sequence[int] = ()) -> list[int]:
    """Which of ``count`` labels are shown where only ``most`` have room: every so many-th, the last, and
    those of ``keep`` as far as they fit.
    """
    if count <= most:
        return list(range(count))
    for every in (2, 5, 10, 20, 50, 100, 200, 500, 1000, 10_000, 100_000):
        shown = {0, count - 1, *range(every - 1, count, every)}
        if len(shown) <= most:
            break
    for n in keep:
        if len(shown) < most:
            shown.add(n)
    return sorted(shown)
