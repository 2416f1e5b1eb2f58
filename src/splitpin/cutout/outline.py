"""The line along which a cut-out is cut from paper: smooth curves in millimetres."""

from __future__ import annotations

from math import ceil, pi
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.curves import area, fit_closed, flatten
from splitpin.cutout.distance import edge_loops, level_loops, signed_distance
from splitpin.cutout.mistake import CutError

Real = NDArray[np.float64]

NOISE = 0.1
"""How far, in pixels, the half-covered line may lie beside the true edge; kept back from the tolerance."""
TOLERANCE_MM = 0.1
"""What a steady hand with a blade holds to."""
WIDEST_MM = 50.0
"""A margin wider than this, and than the picture itself, is a slip of the pen."""
MOST_PIXELS = 200_000_000
"""Room for a margin: pixels of a picture with its margin around it."""


class Loop(NamedTuple):
    """One closed line."""

    curves: Real
    """(n, 4, 2): cubic Bézier curves, mm from the picture's top left corner, y down."""
    hole: bool
    """Whether it is the edge of a hole."""

    def polygon(self, tolerance: float) -> Real:
        """Points (n, 2), mm, that keep within ``tolerance`` mm of the curves."""
        return flatten(self.curves, tolerance)


class Outline(NamedTuple):
    """All lines of a cut-out."""

    loops: tuple[Loop, ...]
    """Each outer line and each hole, the largest first."""
    tolerance: float
    """How far the lines may lie beside the edge, mm."""
    parts: int
    """How many parts the cut-out has, and"""
    holes: int
    """holes; with a margin there may be fewer lines than these, with an inset more."""

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom, mm."""
        points = np.concatenate([loop.polygon(self.tolerance / 20) for loop in self.loops])
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        return float(x0), float(y0), float(x1), float(y1)


def outline(
    alpha: NDArray[np.uint8], mm_per_px: float, tolerance: float = TOLERANCE_MM, margin: float = 0.0
) -> Outline:
    """Find the cut line of a piece.

    Parameters
    ----------
    alpha
        uint8 (height, width); the edge is where it is one half.
    mm_per_px
        The size of a pixel, mm.
    tolerance
        How far the line may lie beside the edge (or beside the line at the margin), mm, above 0. Scraps and
        pinholes that a circle of this radius would cover are left out. Finer than a tenth of a pixel it
        follows the pixels.
    margin
        How far outside the edge the line runs, mm; below 0 inside it. Corners are rounded as scissors would.

    Raises
    ------
    CutError
        When there is nothing to cut, or a number is out of its range.
    """
    if not (mm_per_px > 0 and tolerance > 0 and np.isfinite([mm_per_px, tolerance, margin]).all()):
        raise CutError(
            "outline",
            f"{mm_per_px} mm a pixel, tolerance {tolerance} mm, margin {margin} mm",
            "a pixel and a tolerance above 0 mm, and a finite margin",
            "give other numbers",
        )
    height, width = alpha.shape
    least = pi * (tolerance / mm_per_px) ** 2
    loops = [loop for loop in edge_loops(alpha) if abs(area(loop)) > least]
    if not loops:
        raise CutError(
            "outline", "nothing that is not transparent", "a cut-out", "name a picture with a piece in it"
        )
    parts = sum(_outer(loops))
    holes = len(loops) - parts
    if margin:
        if margin > max(WIDEST_MM, max(width, height) * mm_per_px):
            raise CutError(
                "margin",
                f"{margin:g} mm around a picture of {width * mm_per_px:.1f} × {height * mm_per_px:.1f} mm",
                f"at most {max(WIDEST_MM, max(width, height) * mm_per_px):.0f} mm",
                "give a smaller margin",
            )
        loops = _beside(loops, width, height, margin / mm_per_px, least, mm_per_px)
    within = tolerance / mm_per_px
    fitted = [fit_closed(loop, max(within - NOISE, within / 2)) * mm_per_px for loop in loops]
    outer = _outer(loops)
    order = sorted(range(len(loops)), key=lambda k: -abs(area(loops[k])))
    return Outline(tuple(Loop(fitted[k], not outer[k]) for k in order), tolerance, parts, holes)


def _outer(loops: list[Real]) -> list[bool]:
    """Which loops are edges of parts, not of holes: those that run as the widest one does."""
    sizes = [area(loop) for loop in loops]
    around = np.sign(max(sizes, key=abs))
    return [bool(np.sign(size) == around) for size in sizes]


def _beside(loops: list[Real], width: int, height: int, by: float, least: float, mm: float) -> list[Real]:
    pad = max(0, ceil(by)) + 2
    if (width + 2 * pad) * (height + 2 * pad) > MOST_PIXELS:
        raise CutError(
            "margin",
            f"{by * mm:g} mm, {by:.0f} pixels",
            "one that leaves the picture a picture",
            "give a smaller margin",
        )
    field = signed_distance(loops, width, height, by, by, pad)
    moved = [loop for loop in level_loops(field, by, pad) if abs(area(loop)) > least]
    if not moved:
        raise CutError(
            "margin",
            f"an inset of {-by * mm:g} mm, which leaves nothing of the piece",
            f"one narrower than half the piece of {width * mm:.1f} × {height * mm:.1f} mm",
            "give a smaller inset",
        )
    return moved


def svg_path(found: Outline) -> str:
    """The ``d`` of an SVG path (SVG 1.1, 8.3), mm; fill it by the even-odd rule."""
    words = []
    for loop in found.loops:
        words.append(f"M{_number(loop.curves[0, 0])}")
        words += [f"C{' '.join(_number(p) for p in curve[1:])}" for curve in loop.curves]
        words.append("Z")
    return "".join(words)


def svg(found: Outline, title: str) -> str:
    """An SVG drawing at true size with the cut line as a hairline."""
    x0, y0, x1, y1 = found.box
    x, y, w, h = x0 - 1, y0 - 1, x1 - x0 + 2, y1 - y0 + 2
    safe = title.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w:.3f}mm" height="{h:.3f}mm"'
        f' viewBox="{x:.3f} {y:.3f} {w:.3f} {h:.3f}">\n'
        f"<title>{safe}</title>\n"
        '<path fill="none" fill-rule="evenodd" stroke="#000" stroke-width="0.1"'
        f' d="{svg_path(found)}"/>\n</svg>\n'
    )


def _number(point: Real) -> str:
    return " ".join(f"{v:.4f}".rstrip("0").rstrip(".") for v in point)
