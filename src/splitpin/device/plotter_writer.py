"""What a plotter cuts and scores of a page: SVG in millimetres, a group for each use (SVG 1.1, W3C)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from xml.sax.saxutils import escape

from splitpin.paper.page import Curves, Disc, Mark, Page, Point, Stroke, Use

LAYERS: dict[Use, str] = {"register": "#000000", "score": "#0000ff", "cut": "#ff0000"}
"""The groups in the order in which they are worked on, each with its colour: plotters often choose by it."""
HAIR = 0.1
"""How wide lines are drawn, mm; a plotter follows their middle."""


def plotter_svg(page: Page) -> str:
    """A page's lines of use as a document; the printed page lies under it mark on mark.

    Parameters
    ----------
    page
        In millimetres, y up.

    Returns
    -------
    str
        SVG whose units are millimetres, y down from the upper left corner of the paper.
    """
    wide, high = page.stock.width, page.stock.height
    size = f'width="{_n(wide)}mm" height="{_n(high)}mm" viewBox="0 0 {_n(wide)} {_n(high)}"'
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>',
        f"  <title>{escape(page.title)}</title>",
    ]
    for use, colour in LAYERS.items():
        lines.append(f'  <g id="{use}" fill="none" stroke="{colour}" stroke-width="{HAIR}">')
        lines += [f"    {one}" for one in _shapes(page.marks, use, high)]
        lines.append("  </g>")
    return "\n".join([*lines, "</svg>", ""])


def _shapes(marks: Iterable[Mark], use: Use, high: float) -> Iterator[str]:
    def at(point: Point) -> str:
        return f"{_n(point[0])} {_n(high - point[1])}"

    for mark in marks:
        match mark:
            case Stroke() if mark.use == use:
                end = " Z" if mark.closed else ""
                yield f'<path d="M {" L ".join(at(point) for point in mark.points)}{end}"/>'
            case Curves() if mark.use == use:
                loops = " ".join(
                    f"M {at(loop[0][0])} {' '.join(f'C {at(b)} {at(c)} {at(d)}' for _, b, c, d in loop)} Z"
                    for loop in mark.loops
                    if loop
                )
                yield f'<path d="{loops}"/>'
            case Disc() if mark.use == use:
                x, y = mark.centre
                yield f'<circle cx="{_n(x)}" cy="{_n(high - y)}" r="{_n(mark.radius)}"/>'
            case _:
                pass


def _n(value: float) -> str:
    """To a thousandth of a millimetre."""
    return f"{value:.3f}".rstrip("0").rstrip(".")
