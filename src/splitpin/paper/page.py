"""A page: marks in millimetres from its bottom left corner, y up, as the table has it."""

from __future__ import annotations

from typing import Literal, NamedTuple, Protocol

from splitpin.measure.affine import Affine
from splitpin.paper.stock import Stock

Point = tuple[float, float]
Curve = tuple[Point, Point, Point, Point]
"""A cubic Bézier curve: its ends and, between them, what it is drawn towards."""
Use = Literal["print", "cut", "score", "register"]
"""What is done with a line: only printed, or cut, or folded, by hand or by a plotter; or a plotter finds the
printed page by it."""

HAIR, THIN, LINE, BOLD = 0.1, 0.15, 0.25, 0.5
"""Widths of lines, mm."""
BLACK, PENCIL, PALE = 0.0, 0.42, 0.78
"""Greys, 0 black to 1 white."""


class Stroke(NamedTuple):
    """A line through points."""

    points: tuple[Point, ...]
    width: float = THIN
    """mm; 0 for none, when it is filled."""
    grey: float = BLACK
    dash: tuple[float, ...] = ()
    """On and off, mm."""
    closed: bool = False
    fill: float | None = None
    """The grey inside."""
    use: Use = "print"


class Curves(NamedTuple):
    """Closed lines of curves: an outline with its holes."""

    loops: tuple[tuple[Curve, ...], ...]
    width: float = THIN
    grey: float = BLACK
    dash: tuple[float, ...] = ()
    fill: float | None = None
    """The grey inside, holes left out."""
    use: Use = "print"


class Disc(NamedTuple):
    """A circle."""

    centre: Point
    radius: float
    width: float = THIN
    grey: float = BLACK
    fill: float | None = None
    use: Use = "print"


class Words(NamedTuple):
    """A line of type."""

    text: str
    x: float
    y: float
    """Of the base line."""
    size: float = 9.0
    """Points."""
    grey: float = BLACK
    align: Literal["left", "middle", "right"] = "left"
    angle: float = 0.0
    """Degrees anticlockwise about ``(x, y)``."""
    room: float | None = None
    """What is longer than this, mm, is cut off with an ellipsis."""
    bold: bool = False


class Print(NamedTuple):
    """A picture."""

    picture: str
    """The name by which whoever writes the page finds its pixels."""
    matrix: Affine
    """From its pixels (y down, from the top left corner) to the page (mm, y up)."""
    strength: float = 1.0
    """1 as it is; less for a pale guide."""
    clip: tuple[tuple[Point, ...], ...] = ()
    """Polygons of the page, holes among them, outside of which nothing of it is printed."""


Mark = Stroke | Curves | Disc | Words | Print


class Page(NamedTuple):
    """One side of a sheet of paper."""

    part: str
    """Of the kit: ``strips``."""
    title: str
    """What lies on it: ``Guide strip: cat, exposures 1 to 24``."""
    stock: Stock
    marks: tuple[Mark, ...]
    """Drawn in this order."""
    proof: bool = True
    """Whether it carries the rules and words that prove its scale; backs have none."""


class Type(Protocol):
    """Knows how wide words are."""

    def __call__(self, text: str, size: float, bold: bool = False) -> float:
        """The width, mm, of a line of type of ``size`` points."""


def box(x: float, y: float, width: float, height: float) -> tuple[Point, ...]:
    """The corners of an upright rectangle, from the bottom left one."""
    return (x, y), (x + width, y), (x + width, y + height), (x, y + height)


def cross(x: float, y: float, arm: float, width: float = THIN, grey: float = BLACK) -> tuple[Stroke, Stroke]:
    """A small upright cross."""
    return (
        Stroke(((x - arm, y), (x + arm, y)), width, grey),
        Stroke(((x, y - arm), (x, y + arm)), width, grey),
    )


def wrapped(text: str, room: float, size: float, type_: Type, bold: bool = False) -> list[str]:
    """Text in lines that are no wider than ``room`` mm; a word that is wider alone is broken."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        while type_(word, size, bold) > room and len(word) > 1:
            fits = next((n for n in range(len(word) - 1, 0, -1) if type_(word[:n], size, bold) <= room), 1)
            if line:
                lines.append(line)
                line = ""
            lines.append(word[:fits])
            word = word[fits:]
        longer = f"{line} {word}" if line else word
        if line and type_(longer, size, bold) > room:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line] if line else lines
