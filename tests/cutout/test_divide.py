"""Dividing a picture by its colours' odds: the cheapest division, found exactly."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from numpy.typing import NDArray

from splitpin.cutout.divide import MOST, _main_colours, divided, odds
from splitpin.cutout.segment import Segments, _by_colours

Mask = NDArray[np.bool_]


def nothing(shape: tuple[int, ...]) -> Mask:
    return np.zeros(shape, bool)


@pytest.mark.parametrize("seed", range(6))
def test_no_other_division_is_cheaper(seed: int) -> None:
    """Against all 4096, with GrabCut's costs: contrast by its mean, eight neighbours, 50 at most."""
    rng = np.random.default_rng(seed)
    rgb = rng.integers(0, 256, (3, 4, 3), dtype=np.uint8)
    says = rng.uniform(-6, 6, (3, 4)).astype(np.float32)
    inside = np.ones((3, 4), bool)
    trust = 60.0
    level = np.clip((says / MOST + 1) * 127.5, 0, 255)
    seen = np.dstack([level[..., None], _main_colours(rgb)]).astype(np.uint8).astype(np.float64)
    pairs = [
        ((y, x), (y + j, x + i))
        for y, x in np.ndindex(3, 4)
        for j, i in ((0, 1), (1, 0), (1, 1), (1, -1))
        if y + j < 3 and 0 <= x + i < 4
    ]
    far = [float(((seen[a] - seen[b]) ** 2).sum()) for a, b in pairs]
    beta = 1 / (2 * np.mean(far))
    pull = [
        50 * np.exp(-beta * d) / (np.hypot(b[0] - a[0], b[1] - a[1]))
        for d, (a, b) in zip(far, pairs, strict=True)
    ]
    thing = (255 - seen[..., 0]) ** 2 * trust / 255**2
    behind = seen[..., 0] ** 2 * trust / 255**2

    def cost(mask: Mask) -> float:
        own = float(np.where(mask, thing, behind).sum())
        return own + sum(float(p) for p, (a, b) in zip(pull, pairs, strict=True) if mask[a] != mask[b])

    best = min((np.array(sides, bool).reshape(3, 4) for sides in product((False, True), repeat=12)), key=cost)
    none = nothing(inside.shape)
    found = divided(says, rgb, inside, none, none, trust)
    assert cost(found) == pytest.approx(cost(best), rel=1e-3)


def test_what_is_settled_stays() -> None:
    rng = np.random.default_rng(1)
    rgb = rng.integers(0, 256, (20, 30, 3), dtype=np.uint8)
    says = rng.uniform(-6, 6, (20, 30)).astype(np.float32)
    inside, keep, drop = nothing((20, 30)), nothing((20, 30)), nothing((20, 30))
    inside[4:16, 5:25] = True
    keep[6:8, 8:20] = True
    drop[10:12, 8:20] = True
    mask = divided(says, rgb, inside, keep, drop, 60.0)
    assert mask[keep].all()
    assert not mask[drop].any()
    assert not mask[~(inside | keep)].any()


def test_odds_are_high_where_a_colour_is_commoner_within() -> None:
    rgb = np.zeros((20, 20), np.int64)
    rgb[:, 10:] = 4000
    mask = nothing((20, 20))
    mask[:, 8:] = True
    says = odds(rgb, mask)
    assert (says[:, 12:] > 2).all()
    assert (says[:, :6] < -1).all()


def test_a_colour_that_the_ground_has_too_makes_no_hole_in_the_thing() -> None:
    """A cup of coffee on a table of the coffee's brown."""
    y, x = np.mgrid[:160, :160]
    r = np.hypot(x - 80, y - 80)
    rgb = np.full((160, 160, 3), (120, 70, 40), np.uint8)
    rgb[r < 50] = (240, 235, 225)
    rgb[r < 22] = (122, 72, 42)
    rgb = np.clip(rgb + np.random.default_rng(2).normal(0, 3, rgb.shape), 0, 255).astype(np.uint8)
    mask = r < 50
    marks = np.where(r < 70, np.where(mask, 3, 2), 0).astype(np.uint8)
    none = nothing(mask.shape)
    found = Segments(marks, np.zeros((1, 65)), np.zeros((1, 65)), None)
    assert _by_colours(rgb, found, mask, none, none)[r < 45].all()
