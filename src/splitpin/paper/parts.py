"""The parts of a kit, in the order in which they are printed."""

from __future__ import annotations

from splitpin.paper.fans import bend_fans
from splitpin.paper.kitting import Part
from splitpin.paper.pieces import pieces
from splitpin.paper.strips import strips
from splitpin.paper.table_marks import table_marks

PARTS: dict[str, Part] = {"pieces": pieces, "strips": strips, "fans": bend_fans, "marks": table_marks}
"""Each by the name that ``--only`` takes."""
