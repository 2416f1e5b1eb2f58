"""Filling a hole in a picture with what the rest of the picture is made of.

From coarse to fine: at the coarsest level few large parts are joined (:mod:`splitpin.cutout.montage`) by
steps that are common in the picture or suit its rim, so that what repeats, such as courses of bricks,
stays in step. Every finer level improves the choice by patches (:mod:`splitpin.cutout.patches`); at last
whole pixels are copied, so that grain stays grain, and their tone is fitted to the rim
(:mod:`splitpin.cutout.blend`). Signals are compared here, no light is added up that anybody sees: all
works on sRGB values.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from splitpin.cutout.blend import blended
from splitpin.cutout.levels import THIN, Level, Mask, levels_of, places
from splitpin.cutout.mistake import CutError
from splitpin.cutout.montage import arrange, expect, gather
from splitpin.cutout.patches import CHANNELS, search, vote
from splitpin.cutout.steps import common_steps, rim_of, rim_steps

Rgb = NDArray[np.uint8]
Field = NDArray[np.int32]
Window = tuple[slice, slice]

MARGIN = 96
"""How far around a hole is looked, pixels: less around scratches, more around wide holes."""
ROUNDS = (2, 3, 4, 6)
"""Rounds of search at the finest level, the next, and so on; the last is for all coarser ones, and where the
search begins."""
MONTAGE = 12000
"""Pixels of a hole, at most, that are joined of large parts; more would take too long."""
FAR = 500
"""How far chance looks around a step at the coarsest level, at most, pixels."""
NEAR = 8
"""How far chance looks around a step at the finer levels, pixels."""
FIRM = 4
"""How much it counts, in quarters of a level, that tone and grain are not what the rim lets expect."""
SMOOTH = 4
"""Tone and grain are means over this far, pixels of the coarsest level."""
JOIN = 40
"""What a join costs in itself, against the differences of colour along it, 8-bit steps summed."""


def mend(rgb: Rgb, hole: Mask, *, seed: int = 0, progress: Callable[[float], None] | None = None) -> Rgb:
    """Fill a hole with what the rest of the picture is made of.

    Parameters
    ----------
    rgb
        uint8 (h, w, 3), sRGB.
    hole
        bool (h, w): what to fill.
    seed
        Of all that is left to chance: another seed, another filling.
    progress
        Called with the part done, 0..1.

    Returns
    -------
    ndarray
        uint8 (h, w, 3): outside the hole the same to the last bit.

    Raises
    ------
    CutError
        When the hole is of another size than the picture, or leaves nothing of it.
    """
    _check(rgb, hole)
    out = rgb.copy()
    if not hole.any():
        return out
    parts = list(_parts(hole))
    for i, (window, part) in enumerate(parts):
        if progress is not None:
            progress(i / len(parts))
        out[window][part] = _filled(rgb[window], hole[window], seed + 7919 * i)[part[hole[window]]]
    if progress is not None:
        progress(1.0)
    return out


def _check(rgb: Rgb, hole: Mask) -> None:
    size = f"{rgb.shape[1]} × {rgb.shape[0]} pixels"
    if hole.shape != rgb.shape[:2]:
        found = " × ".join(str(n) for n in reversed(hole.shape))
        raise CutError(
            "the hole", f"{found} pixels", f"{size}, as the picture", "draw the hole over the same picture"
        )
    if hole.size and hole.all():
        raise CutError(
            "the hole", f"all {size} of the picture", "some picture left over", "make the hole smaller"
        )


def _parts(hole: Mask) -> Iterator[tuple[Window, Mask]]:
    """Windows around what belongs together, and what of the hole is to be filled in each."""
    near = cv2.dilate(hole.view(np.uint8), np.ones((33, 33), np.uint8))
    depth = cv2.distanceTransform(hole.view(np.uint8), cv2.DIST_L2, 3)
    names, _ = ndimage.label(near, np.ones((3, 3)))
    for name, (ys, xs) in enumerate(ndimage.find_objects(names), 1):
        part = hole[ys, xs] & (names[ys, xs] == name)
        rows, columns = np.flatnonzero(part.any(axis=1)), np.flatnonzero(part.any(axis=0))
        y0, y1 = ys.start + rows[0], ys.start + rows[-1] + 1
        x0, x1 = xs.start + columns[0], xs.start + columns[-1] + 1
        deep = float(depth[ys, xs][part].max())
        side = round(max(2 * deep, min(MARGIN, 16 * deep)))
        window = (slice(max(y0 - side, 0), y1 + side), slice(max(x0 - side, 0), x1 + side))
        yield window, hole[window] & (names[window] == name)


def _filled(rgb: Rgb, hole: Mask, seed: int) -> Rgb:
    """The pixels of the hole, line by line."""
    levels = levels_of(rgb, hole)
    coarsest = levels[-1]
    scratch = levels[0].depth.max() <= THIN
    if scratch:  # what is right beside it is best, and there may be many
        steps = np.zeros((0, 2), np.int32)
    else:
        steps = np.concatenate([rim_steps(coarsest), common_steps(coarsest, seed)])
    field = _begun(coarsest, steps, seed)
    for i in range(len(levels) - 1, -1, -1):
        level = levels[i]
        if level is not coarsest:
            field = _doubled(field, levels[i + 1], level, seed + i)
            steps = steps * 2
        first = level is coarsest
        rounds = ROUNDS[-1] if first else ROUNDS[min(i, len(ROUNDS) - 1)]
        reach = min(max(level.hole.shape), MARGIN if scratch else FAR) if first else NEAR
        _improved(level, field, steps, seed + 101 * i, rounds, reach)
    finest = levels[0]
    _copy(finest, field)
    return blended(finest.pic, finest.hole, finest.holes, field)


def _begun(level: Level, steps: Field, seed: int) -> Field:
    """Steps to begin with at the coarsest level; the hole is filled with what they bring."""
    field = np.zeros((*level.hole.shape, 2), np.int32)
    at = (level.holes[:, 0], level.holes[:, 1])
    if len(steps) and len(level.holes) <= MONTAGE:
        k, n = len(steps), len(level.holes)
        values, own = np.zeros((k, n, CHANNELS), np.int16), np.zeros((k, n), np.int64)
        smooth, expected = _smoothed(level), np.zeros((n, CHANNELS), np.int16)
        expect(smooth, rim_of(level, 2), level.holes, expected)
        gather(
            level.pic, smooth, level.usable, level.hole, level.holes, expected, steps, level.r, level.r,
            FIRM, values, own,
        )  # fmt: skip
        chosen = own.argmin(axis=0).astype(np.int32)
        arrange(values, own, _neighbours(level), chosen, JOIN, 3)
        field[at] = steps[chosen]
        field = _spread(field, level.hole)
    else:
        rows, columns = _nearest(level.usable)
        field[..., 0] = rows - np.arange(rows.shape[0])[:, None]
        field[..., 1] = columns - np.arange(rows.shape[1])
    _permit(field, level, seed)
    _copy(level, field)
    return field


def _smoothed(level: Level) -> NDArray[np.int16]:
    """Tone and grain without detail; of the hole nothing is known."""
    known = (~level.hole)[..., None].astype(np.float32)
    box = (2 * SMOOTH + 1, 2 * SMOOTH + 1)
    # Sums of whole numbers below 2²⁴: exact in any order.
    total = cv2.boxFilter(level.pic * known, -1, box, normalize=False, borderType=cv2.BORDER_CONSTANT)
    count = cv2.boxFilter(known, -1, box, normalize=False, borderType=cv2.BORDER_CONSTANT)
    return np.rint(total / np.maximum(count, 1.0)[..., None]).astype(np.int16)


def _neighbours(level: Level) -> Field:
    numbers = np.full(level.hole.shape, -1, np.int32)
    numbers[level.hole] = np.arange(len(level.holes))
    round_about = np.pad(numbers, 1, constant_values=-1)
    four = (
        round_about[1:-1, :-2],
        round_about[1:-1, 2:],
        round_about[:-2, 1:-1],
        round_about[2:, 1:-1],
    )
    return np.ascontiguousarray(np.stack([f[level.hole] for f in four], axis=1))


def _doubled(coarse_field: Field, coarse: Level, level: Level, seed: int) -> Field:
    """The field of the next finer level."""
    if coarse.r < level.r:  # so small that patches shrank: not every place has a coarser one above it
        coarse_field = _spread(coarse_field, coarse.wanted)
    field = np.zeros((*level.hole.shape, 2), np.int32)
    y, x = level.targets.T
    field[y, x] = 2 * coarse_field[y // 2, x // 2]
    _permit(field, level, seed)
    _copy(level, field)
    return field


def _nearest(mask: Mask) -> tuple[Field, Field]:
    rows, columns = ndimage.distance_transform_edt(~mask, return_distances=False, return_indices=True)
    return rows, columns


def _spread(field: Field, known: Mask) -> Field:
    """Everywhere the step of the nearest place where it is known."""
    return np.ascontiguousarray(field[_nearest(known)])


def _permit(field: Field, level: Level, seed: int) -> None:
    """Where a step leads to no patch of the picture, put one that does."""
    h, w = level.hole.shape
    at = (level.targets[:, 0], level.targets[:, 1])
    to = level.targets + field[at]
    inside = ((to >= 0) & (to < (h, w))).all(axis=1)
    to_clipped = np.clip(to, 0, (h - 1, w - 1))
    bad = ~(inside & level.usable[to_clipped[:, 0], to_clipped[:, 1]])
    if bad.any():
        sources = places(level.usable)
        rng = np.random.Generator(np.random.PCG64(seed))
        chosen = sources[rng.integers(0, len(sources), int(bad.sum()))]
        field[at[0][bad], at[1][bad]] = chosen - level.targets[bad]


def _to_the_edge(field: Field, r: int) -> None:
    """Give places near the edge of the picture, where no patch has its middle, the step of the nearest."""
    if r:
        field[:r], field[-r:] = field[r], field[-r - 1]
        field[:, :r], field[:, -r:] = field[:, r : r + 1], field[:, -r - 1 : -r]


def _copy(level: Level, field: Field) -> None:
    """Fill the hole with the pixels that the field leads to."""
    _to_the_edge(field, level.r)
    at = (level.holes[:, 0], level.holes[:, 1])
    to = level.holes + field[at]
    level.pic[at] = level.pic[to[:, 0], to[:, 1]]


def _improved(level: Level, field: Field, steps: Field, seed: int, rounds: int, reach: int) -> None:
    """Search and vote in turn; field and picture are changed in place."""
    cost = np.zeros(level.hole.shape, np.int32)
    filled = np.zeros((len(level.holes), CHANNELS), np.int16)
    at = (level.holes[:, 0], level.holes[:, 1])
    for i in range(rounds):
        search(
            level.pic, level.usable, level.targets, level.wanted, field, cost, steps, level.r,
            reach, 0, seed + i, i % 2 == 1,
        )  # fmt: skip
        if i == rounds - 1:
            break  # copies follow
        vote(level.pic, level.holes, level.wanted, field, cost, level.depth, level.r, filled)
        level.pic[at] = filled
    _to_the_edge(field, level.r)
