"""What is cut from paper: every cut-out that rows lay down, at each size, as often as it lies at one time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from typing import NamedTuple

from shapely import MultiPolygon, Polygon, union_all
from shapely.affinity import affine_transform

from splitpin.character.place import Placed
from splitpin.cutout.outline import Loop, Outline
from splitpin.measure.affine import Affine
from splitpin.motion.speak import Speak
from splitpin.paper.kitting import Cut, Kitting, Staged
from splitpin.sheet.stack import BACKGROUND

SMALL = 15.0
"""Of what is smaller, mm, two spares are printed: it is lost first."""
ALIKE = 0.1
"""Sizes that differ by less along the longest side, mm, are cut once: no blade holds to more."""
FLAT = 0.02
"""How far polygons may lie beside their curves, mm."""
Key = tuple[str, str, str, str, bool]
"""Envelope, piece, replacement, cut-out, mirrored."""


class Item(NamedTuple):
    """One thing to cut from paper, with its copies."""

    name: str
    """``cat.eyes.open``, ``coin-7``: of the piece and what it shows, or of the bare cut-out."""
    envelope: str
    """The character whose envelope it belongs in; empty for bare cut-outs, ``background`` for backgrounds."""
    piece: str
    """Of the character; ``piece`` of a bare cut-out."""
    shows: str
    """Of the piece's replacement set; empty without one."""
    cut: Cut
    scale: float
    """Its size on the table against its cut-out's."""
    mirrored: bool
    """Whether it lies turned over, left for right."""
    needed: int
    """The most that lie on the table at one time."""
    spares: int
    scenes: tuple[str, ...]
    """Those in which it lies on the table."""

    @property
    def copies(self) -> int:
        """How many are printed."""
        return self.needed + self.spares

    @property
    def flat(self) -> Affine:
        """From the pixels of its cut-out to paper, mm, y up, about the picture's top left corner."""
        k = self.cut.mm_per_px * self.scale
        return Affine(-k if self.mirrored else k, 0.0, 0.0, -k)

    def shape(self) -> MultiPolygon:
        """Its paper, mm, y up, about the picture's top left corner, with its holes."""
        k = self.scale
        flat = [-k if self.mirrored else k, 0.0, 0.0, -k, 0.0, 0.0]
        return MultiPolygon(_parts(affine_transform(paper_of(self.cut.outline, FLAT), flat)))


def paper_of(outline: Outline, within: float) -> MultiPolygon:
    """What paper lies inside a cut line, mm, y down; polygons keep within ``within`` mm of its curves."""
    parts = [_inside(loop, within) for loop in outline.loops if not loop.hole]
    holes = [_inside(loop, within) for loop in outline.loops if loop.hole]
    return MultiPolygon(_parts(union_all(parts).difference(union_all(holes))))


def wanted(kitting: Kitting) -> tuple[Item, ...]:
    """Everything that lies on the table in the scenes of a kit, by envelope, in the order of appearance."""
    seen: dict[Key, Counter[float]] = {}
    for _, lying in _lying(kitting.scenes):
        for key, scale in lying.elements():
            seen.setdefault(key, Counter())[scale] += 1
    size = cache(lambda cutout: _longest(kitting.cut(cutout)))
    sizes = {key: _alike(scales, size(key[3])) for key, scales in seen.items()}
    most: Counter[tuple[Key, float]] = Counter()
    scenes: dict[tuple[Key, float], dict[str, None]] = {}
    for scene, lying in _lying(kitting.scenes):
        now = Counter[tuple[Key, float]]()
        for (key, scale), count in lying.items():
            now[key, sizes[key][scale]] += count
        most |= now
        for one in now:
            scenes.setdefault(one, {})[scene] = None
    mouths = set(_mouths(kitting.scenes))
    items = []
    for (key, scale), needed in most.items():
        envelope, piece, shows, cutout, mirrored = key
        several = len(set(sizes[key].values())) > 1
        spares = 2 if size(cutout) * scale < SMALL else 0
        if shows and (envelope, piece) in mouths:
            spares = max(spares, needed)
        items.append(
            Item(
                _name(key, scale if several else None), envelope, piece, shows, kitting.cut(cutout), scale,
                mirrored, needed, spares, tuple(scenes[key, scale]),
            )
        )  # fmt: skip
    return tuple(sorted(items, key=lambda item: (item.envelope == BACKGROUND, item.envelope == "")))


def _inside(loop: Loop, within: float) -> Polygon:
    points = loop.polygon(within)
    while len(points) < 4:
        # a pinhole of two curves
        within /= 4
        points = loop.polygon(within)
    return Polygon(points).buffer(0)


def _lying(scenes: Iterable[Staged]) -> Iterator[tuple[str, Counter[tuple[Key, float]]]]:
    """What lies on the table in each exposure that differs from the one before."""
    for staged in scenes:
        last: tuple[Placed, ...] | None = None
        for row in staged.sheet.rows:
            if row.placed is not last:
                last = row.placed
                yield staged.name, Counter(_key(staged, placed) for placed in last)


def _key(staged: Staged, placed: Placed) -> tuple[Key, float]:
    figure = staged.figures[placed.who]
    envelope = BACKGROUND if placed.who == BACKGROUND else staged.characters.get(placed.who, "")
    spec = figure.character.pieces[placed.piece]
    shows = next((name for name, one in spec.set.items() if one.cutout == placed.cutout), "")
    scale = round(placed.matrix.stretch / figure.cutouts[placed.cutout].mm_per_px, 6)
    # pixels run down and the table up: what is not turned over has a negative determinant
    return (envelope, placed.piece, shows, placed.cutout, placed.matrix.determinant > 0), scale


def _alike(scales: Counter[float], longest: float) -> Mapping[float, float]:
    """For each scale the one that is cut for it: the most used of those that no blade can tell apart."""
    found: dict[float, float] = {}
    group: list[float] = []
    for scale in [*sorted(scales), float("inf")]:
        if group and (scale - group[0]) * longest >= ALIKE:
            best = max(group, key=lambda one: scales[one])
            found |= dict.fromkeys(group, best)
            group = []
        group.append(scale)
    return found


def _longest(cut: Cut) -> float:
    left, top, right, bottom = cut.outline.box
    return max(right - left, bottom - top)


def _mouths(scenes: Iterable[Staged]) -> Iterator[tuple[str, str]]:
    """The character and the piece of every mouth that speaks."""
    for staged in scenes:
        for move in staged.scene.moves:
            if isinstance(move, Speak) and move.who in staged.characters:
                pieces = staged.figures[move.who].character.pieces
                piece = move.piece or ("mouth" if "mouth" in pieces else "jaw")
                yield staged.characters[move.who], piece


def _name(key: Key, scale: float | None) -> str:
    envelope, piece, shows, cutout, mirrored = key
    words = [cutout if envelope in ("", BACKGROUND) else ".".join(w for w in (envelope, piece, shows) if w)]
    if scale is not None:
        words.append(f"{scale * 100:.4g} %")
    if mirrored:
        words.append("mirrored")
    return " ".join(words)


def _parts(shape: object) -> list[Polygon]:
    geoms = getattr(shape, "geoms", [shape])
    return [part for part in geoms if isinstance(part, Polygon) and not part.is_empty]


__all__ = ["Item", "paper_of", "wanted"]
