"""The parts of a kit, in the order in which they are printed."""

from __future__ import annotations

from splitpin.paper.backgrounds import background_tiles, backgrounds
from splitpin.paper.box_label import box_label
from splitpin.paper.day_sheets import day_sheets
from splitpin.paper.envelopes import envelopes
from splitpin.paper.exposure_sheets import exposure_sheets
from splitpin.paper.fans import bend_fans
from splitpin.paper.kitting import Part
from splitpin.paper.pieces import pieces
from splitpin.paper.story_pages import story_pages
from splitpin.paper.strips import strips
from splitpin.paper.table_marks import table_marks

PARTS: dict[str, Part] = {
    "pieces": pieces,
    "backgrounds": backgrounds,
    "tiles": background_tiles,
    "envelopes": envelopes,
    "strips": strips,
    "fans": bend_fans,
    "marks": table_marks,
    "sheets": exposure_sheets,
    "board": story_pages,
    "days": day_sheets,
    "label": box_label,
}
"""Each by the name that ``--only`` takes."""
ASKED = frozenset({"tiles"})
"""Printed only when they are named: they take much paper."""
CARD = frozenset({"pieces"})
"""Printed on card; the others on paper."""
