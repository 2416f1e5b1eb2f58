"""The parts of a kit, in the order in which they are printed."""

from __future__ import annotations

from splitpin.paper.kitting import Part

PARTS: dict[str, Part] = {}
"""Each by the name that ``--only`` takes."""
