"""Sizes of paper, and how much of a page can be drawn on."""

from __future__ import annotations

from typing import NamedTuple

from splitpin.measure.fault import Fault

INCH = 25.4
POINT = INCH / 72
"""A point, mm (PostScript and PDF)."""
EDGE = 8.0
"""What printers leave white along each edge, mm (common practice, no source: 3 to 6.4 mm)."""
RULE = 12.0
"""Room for the proof rule along the left edge and above the foot, mm."""
HEAD, FOOT = 9.0, 5.0
"""Room for the line of words at the top and at the bottom, mm."""
LEAST_MEASURED, MOST_MEASURED = 80.0, 125.0
"""A printed rule of 100 mm that measures outside of this is no slip of a printer's scale."""


class Stock(NamedTuple):
    """A sheet of paper, standing."""

    name: str
    width: float
    """Millimetres."""
    height: float
    """Millimetres."""

    def lying(self) -> Stock:
        """The same, wider than high."""
        return Stock(self.name, max(self.width, self.height), min(self.width, self.height))


class Field(NamedTuple):
    """A rectangle of a page, mm from its bottom left corner, y up."""

    x: float
    y: float
    width: float
    height: float

    @property
    def top(self) -> float:
        """The y of its upper edge."""
        return self.y + self.height

    @property
    def right(self) -> float:
        """The x of its right edge."""
        return self.x + self.width


STOCKS: dict[str, Stock] = {
    "A4": Stock("A4", 210.0, 297.0),
    "A3": Stock("A3", 297.0, 420.0),
    "Letter": Stock("Letter", 8.5 * INCH, 11 * INCH),
    "Tabloid": Stock("Tabloid", 11 * INCH, 17 * INCH),
}
"""ISO 216 and ANSI/ASME Y14.1."""


def room_on(stock: Stock) -> Field:
    """What of a page is free for its purpose: inside of edges, words and rules."""
    left, bottom = EDGE + RULE, EDGE + FOOT + RULE
    return Field(left, bottom, stock.width - left - EDGE, stock.height - bottom - EDGE - HEAD)


def as_it_prints(stock: Stock, measured: float) -> Stock:
    """The paper in the millimetres that a printer should have printed.

    Everything is enlarged by 100 / ``measured`` before it goes to the printer, and comes out at true size.
    What is laid out at true size must therefore fit on paper that is smaller, or larger, by that.

    Parameters
    ----------
    stock
        The paper.
    measured
        What a printed rule of 100 mm measured, mm.
    """
    return Stock(stock.name, stock.width * measured / 100, stock.height * measured / 100)


def fault_of_measure(measured: float) -> Fault | None:
    """What is wrong with a measured rule; None when nothing is."""
    if LEAST_MEASURED <= measured <= MOST_MEASURED:
        return None
    return Fault(
        ("measured",),
        f"{measured:g} mm for a rule of 100 mm",
        f"{LEAST_MEASURED:g} to {MOST_MEASURED:g} mm",
        "measure the printed rule again, or print at 100 %",
    )
