"""The four coded marks round the field, by which a camera finds the table.

They are marks 0 to 3 of the open dictionary of 4 × 4 cells that OpenCV calls ``DICT_4X4_50``: each a black
square of 6 × 6 cells with 4 × 4 of them as its code.
"""

from __future__ import annotations

from typing import NamedTuple

from splitpin.measure.table import Stage

CODES: tuple[tuple[str, ...], ...] = (
    ("1011", "0101", "0011", "0010"),
    ("0000", "1111", "1001", "1010"),
    ("0011", "0011", "0010", "1101"),
    ("1001", "1001", "0100", "0110"),
)
"""The cells inside of the border, row by row from the top; 1 is white."""
CELLS = 6
"""Along one side, with the border."""
SHARE = 25.0
"""The field is so many times as wide as a mark: at 1920 pixels a field, a mark is 77 pixels wide."""


class Corner(NamedTuple):
    """One coded mark on the table, upright."""

    code: int
    """Its number in the dictionary: 0 top left of the field, 1 top right, 2 bottom right, 3 bottom left."""
    x: float
    """Its left edge, mm on the table."""
    y: float
    """Its lower edge, mm on the table."""
    side: float
    """mm."""

    @property
    def cell(self) -> float:
        """The side of one of its cells, mm; so much white must stay round it."""
        return self.side / CELLS

    @property
    def points(self) -> tuple[tuple[float, float], ...]:
        """Its corners on the table, mm: top left, top right, bottom right, bottom left: as OpenCV does."""
        left, low, right, high = self.x, self.y, self.x + self.side, self.y + self.side
        return (left, high), (right, high), (right, low), (left, low)

    def white(self) -> tuple[tuple[float, float], ...]:
        """The lower left corners of its white cells, mm on the table."""
        return tuple(
            (self.x + (1 + column) * self.cell, self.y + (CELLS - 2 - row) * self.cell)
            for row, cells in enumerate(CODES[self.code])
            for column, cell in enumerate(cells)
            if cell == "1"
        )


def corners(stage: Stage) -> tuple[Corner, ...]:
    """The marks of a field.

    They lie above and below the field within its width: a still camera whose picture is 3 : 2 or 4 : 3 sees
    all of them when it sees the width of a field of 16 : 9.
    """
    side = stage.field_mm / SHARE
    gap = side / CELLS
    right, high = stage.field_mm / 2, stage.field_height_mm / 2
    return (
        Corner(0, -right, high + gap, side),
        Corner(1, right - side, high + gap, side),
        Corner(2, right - side, -high - gap - side, side),
        Corner(3, -right, -high - gap - side, side),
    )
