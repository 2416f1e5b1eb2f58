"""The parts of a kit, in the order in which they are printed."""

from __future__ import annotations

from splitpin.paper.kitting import Part
from splitpin.paper.strips import strips
from splitpin.paper.table_marks import table_marks

PARTS: dict[str, Part] = {"strips": strips, "marks": table_marks}
"""Each by the name that ``--only`` takes."""
