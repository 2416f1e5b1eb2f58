"""Split one cut-out into pieces that overlap at their joints, so that no gap opens when they turn.

Each piece keeps its own side of the line and gets the round overlap: as much of the other side as lies within
the cut's half width of the pin. Of two pieces at a joint the upper one shows what was there; what the lower
one needs under it is grown from its own texture. At rest the pieces together look as the cut-out did. Pieces
that drop instead of turning are parted straight (:mod:`splitpin.cutout.drop`).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.cutout import MM_PER_INCH
from splitpin.cutout.drop import part_straight
from splitpin.cutout.ink import SOFT, ink
from splitpin.cutout.inset import depth, hidden_share
from splitpin.cutout.joint import Division, Joint, Mask, divide
from splitpin.cutout.mend import mend
from splitpin.cutout.mistake import CutError
from splitpin.cutout.split_recipe import SplitRecipe

Rgba = NDArray[np.uint8]
Real = NDArray[np.float64]

AROUND = 24
"""How far beyond twice the overlap its texture is looked for, pixels."""


class Part(NamedTuple):
    """One piece of a split cut-out."""

    name: str
    rgba: Rgba
    """uint8 (height, width, 4): trimmed, straight alpha."""
    box: tuple[int, int, int, int]
    """Left, top, width and height in the pixels of what was split."""
    holder: str | None
    """The piece it hangs on; None for the root."""
    pin: tuple[float, float] | None
    """Where it is pinned to its holder, in the pixels of what was split."""
    radius: float
    """How far the overlap reaches from the pin, pixels; 0 for the root."""


class Inked(NamedTuple):
    """How the edge of a cut-out was blackened."""

    mm: float
    """How far in."""
    ppi: float
    """Pixels per inch of its paper."""


class Parts(NamedTuple):
    """A cut-out in pieces."""

    parts: tuple[Part, ...]
    """The root first, each after the one it hangs on."""
    order: tuple[str, ...]
    """How they are stacked, lowest first."""
    moved: tuple[tuple[int, tuple[float, float]], ...] = ()
    """The lines, from 0, that lie elsewhere than they were drawn: how far right and down, pixels."""


def split(
    rgba: Rgba,
    lines: Sequence[Sequence[tuple[float, float]]],
    names: Sequence[str],
    under: Collection[str] = (),
    seed: int = 0,
    drop: Collection[str] = (),
    *,
    as_drawn: bool = False,
    inked: Inked | None = None,
) -> Parts:
    """Split a cut-out along lines.

    Parameters
    ----------
    rgba
        uint8 (height, width, 4), sRGB, straight alpha.
    lines
        As :func:`splitpin.cutout.joint.divide` takes them.
    names
        One more than lines: the largest piece, which is the root, then the piece beyond each line, seen from
        the root.
    under
        Those that lie under what they hang on; the others lie over it.
    seed
        Of what is grown.
    drop
        Those that are pulled away from their line, as a jaw is; they lie under what they hang on.
    as_drawn
        Whether no line moves.
    inked
        How its edge was blackened: the edge of what is grown is so too.

    Raises
    ------
    CutError
        When the lines do not part the cut-out, or the names do not fit.
    """
    _check_names(names, len(lines), under, drop)
    under = {*under, *drop}
    # A mouth is where it is drawn; a joint may move to where the limb begins.
    still = [k for k in range(len(lines)) if as_drawn or names[k + 1] in drop]
    division = divide(rgba[..., 3], lines, still)
    alphas = [
        np.where(division.labels == k + 1, rgba[..., 3], 0).astype(np.float64) for k in range(len(names))
    ]
    colours = [rgba[..., :3].copy() for _ in names]
    deep = depth(rgba[..., 3])
    share = hidden_share(rgba[..., 3], deep)
    # Ink is not texture.
    paper = share == 1 if inked is None else deep > _ink_end(inked)
    grown = [np.zeros(share.shape, np.bool_) for _ in names]
    for joint in division.joints:
        lower, upper = joint.near - 1, joint.far - 1
        if names[joint.far - 1] in under:
            lower, upper = upper, lower
        if names[joint.far - 1] in drop:
            part_straight(division, joint, alphas, colours)
            continue
        area = _overlap(division, joint, share)
        for k, other in ((upper, lower), (lower, upper)):
            beyond = division.labels == other + 1
            alphas[k] = np.maximum(alphas[k], np.where(beyond, area * 255, 0))
        hidden = (area > 0) & (division.labels == upper + 1)
        own = division.labels == lower + 1
        own &= paper if (paper & own).any() else share == 1
        _grow(colours[lower], hidden, own, joint, seed + joint.line)
        grown[lower] |= hidden
    if inked is not None:
        for colour, alpha, new in zip(colours, alphas, grown, strict=True):
            _ink(colour, alpha, new, inked)
    joint_of = {joint.far: joint for joint in division.joints}
    ranked = [1, *(joint.far for joint in division.joints)]
    parts = tuple(_part(names, k, colours[k - 1], alphas[k - 1], joint_of.get(k)) for k in ranked)
    moved = tuple((joint.line, joint.moved) for joint in division.joints if joint.moved != (0.0, 0.0))
    return Parts(parts, _order(parts, under), moved)


def remade(rgba: Rgba, recipe: SplitRecipe) -> Part:
    """The piece that a recipe tells of, made again from what was split: the same to the last bit.

    Raises
    ------
    CutError
        When the recipe does not fit the cut-out, as it may after an edit by hand.
    """
    inked = Inked(recipe.ink_mm, recipe.ink_ppi) if recipe.ink_mm and recipe.ink_ppi else None
    found = split(
        rgba, recipe.lines, recipe.names, recipe.under, recipe.seed, recipe.drop,
        as_drawn=recipe.as_drawn, inked=inked,
    )  # fmt: skip
    for part in found.parts:
        if part.name == recipe.piece:
            return part
    raise CutError(
        "recipe", f"piece {recipe.piece!r}", f"one of {', '.join(recipe.names)}", "name one of the pieces"
    )


def _check_names(names: Sequence[str], lines: int, under: Collection[str], drop: Collection[str]) -> None:
    if len(names) != lines + 1:
        raise CutError(
            "names",
            f"{len(names)} for {lines} {'line' if lines == 1 else 'lines'}",
            f"{lines + 1}: the largest piece, then the one beyond each line",
            "name each piece once",
        )
    twice = [name for i, name in enumerate(names) if name in names[:i]]
    if twice:
        raise CutError("names", f"{twice[0]!r} twice", "different names", "name each piece once")
    for what, said in (("under", under), ("drop", drop)):
        strange = [name for name in said if name not in names[1:]]
        if strange:
            raise CutError(
                what, f"{strange[0]!r}", f"one of {', '.join(names[1:])}", "name pieces that hang on another"
            )


def _ink_end(inked: Inked) -> float:
    """How far in from the edge there is some ink, pixels."""
    return inked.mm / MM_PER_INCH * inked.ppi * (1 + SOFT / 2) + 1


def _ink(rgb: NDArray[np.uint8], alpha: Real, grown: Mask, inked: Inked) -> None:
    """Blacken the edge of what was grown, in place."""
    if grown.any():
        piece = np.dstack([rgb, np.rint(alpha).astype(np.uint8)])
        rgb[grown] = ink(piece, inked.mm, MM_PER_INCH / inked.ppi)[grown][:, :3]


def _overlap(division: Division, joint: Joint, hidden: Real) -> Real:
    """How far each pixel belongs to the overlap, 0..1: round, with an edge one pixel soft, and only where the
    upper piece hides what is under it.
    """
    ys, xs = np.indices(hidden.shape) + 0.5
    share = np.clip(joint.radius + 0.5 - np.hypot(xs - joint.pin[0], ys - joint.pin[1]), 0, 1)
    share = np.minimum(share, hidden)
    both = (division.labels == joint.near) | (division.labels == joint.far)
    inside = (share > 0) & both
    # A disc may reach over a gap to another part of the same piece: only what hangs together with the joint.
    _, parts = cv2.connectedComponents(inside.astype(np.uint8), connectivity=8)
    seam = cv2.dilate((division.labels == joint.far).astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    touching = np.unique(parts[inside & seam & (division.labels == joint.near)])
    return np.where(np.isin(parts, touching) & inside, share, 0.0)


def _grow(rgb: NDArray[np.uint8], hidden: Mask, own: Mask, joint: Joint, seed: int) -> None:
    """Paint a piece's hidden part, in place, with its own texture."""
    core = cv2.erode(own.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    core = core if core.any() else own
    if not hidden.any() or not core.any():
        return
    reach = 2 * joint.radius + AROUND
    (x, y), (height, width) = joint.pin, hidden.shape
    window = (
        slice(max(0, int(y - reach)), min(height, int(y + reach) + 1)),
        slice(max(0, int(x - reach)), min(width, int(x + reach) + 1)),
    )
    if not core[window].any():
        return
    # All that is not the piece is a hole, so that nothing but the piece is copied.
    grown = mend(np.ascontiguousarray(rgb[window]), ~core[window], seed=seed)
    rgb[window][hidden[window]] = grown[hidden[window]]


def _part(names: Sequence[str], k: int, colour: NDArray[np.uint8], alpha: Real, joint: Joint | None) -> Part:
    covered = np.rint(alpha).astype(np.uint8)
    rows, columns = np.flatnonzero(covered.any(axis=1)), np.flatnonzero(covered.any(axis=0))
    y0, y1, x0, x1 = int(rows[0]), int(rows[-1]) + 1, int(columns[0]), int(columns[-1]) + 1
    rgba = np.dstack([colour, covered])[y0:y1, x0:x1].copy()
    rgba[rgba[..., 3] == 0] = 0
    box = (x0, y0, x1 - x0, y1 - y0)
    if joint is None:
        return Part(names[k - 1], rgba, box, None, None, 0.0)
    return Part(names[k - 1], rgba, box, names[joint.near - 1], joint.pin, joint.radius)


def _order(parts: Sequence[Part], under: Collection[str]) -> tuple[str, ...]:
    """Each piece just over or just under what it hangs on."""
    order: list[str] = []
    for part in parts:
        if part.holder is None:
            order.append(part.name)
        else:
            order.insert(order.index(part.holder) + (part.name not in under), part.name)
    return tuple(order)
