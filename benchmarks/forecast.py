"""How much of what will go wrong the forecast sees, and how often it cries for nothing.

Run: ``python benchmarks/forecast.py [SCENES]``. Of each kind 50 scenes with a fault and 50 without, or so
many as are named; what is wrong with each is known by how it was made (``tests/foreseen.py`` and
``tests/warned.py``). *Otherwise* counts what other kinds tell of these scenes. The targets: recall >= .98,
false alarms <= .02. The last line compares the holes with drawn frames: pixels in which the union of the two
differs, in scenes with soft edges, turned pieces and a view that moves.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import process_time

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
from tests.foreseen import MAKERS, made, strewn
from tests.uncovered_truth import open_by_drawing
from tests.warned import TOLD, warned

from splitpin.sheet.forecast import KINDS, forecast
from splitpin.sheet.forecast.holes import uncovered

EXACT = 100
"""Scenes whose holes are compared with drawn frames."""


def main() -> None:
    """Print the table."""
    count = int(sys.argv[1]) if sys.argv[1:] else 50
    print(
        f"{'kind':10}{'faults':>8}{'seen':>6}{'recall':>8}{'clean':>8}{'cried':>7}{'false':>7}{'otherwise':>11}"
    )
    begun = process_time()
    for kind in MAKERS:
        otherwise = 0
        told = {True: 0, False: 0}
        for fault in told:
            for n in range(count):
                found = [one.kind for one in forecast(made(kind, n, fault))]
                told[fault] += kind in found
                otherwise += sum(other != kind for other in found)
        line(kind, count, told[True], told[False], str(otherwise))
    for kind in TOLD:
        seen, cried = (sum(warned(kind, n, fault) for n in range(count)) for fault in (True, False))
        line(kind, count, seen, cried, "by check")
    print(f"{len(KINDS)} kinds foreseen, {len(TOLD)} warned of; {process_time() - begun:.0f} s of work\n")
    differ, beyond, pixels = 0, 0, 0
    for n in range(EXACT):
        known = strewn(np.random.default_rng(n))
        one, other = uncovered(known), open_by_drawing(known)
        differ += int(np.count_nonzero(one != other.half))
        beyond += int(np.count_nonzero((other.surely & ~one) | (one & ~other.perhaps)))
        pixels += int(np.count_nonzero(other.half))
    print(
        f"holes against drawn frames: {differ} of {pixels} open pixels differ in {EXACT} scenes, {beyond} of"
    )
    print("them by more than the rounding of frames to 8 bits explains")


def line(kind: str, count: int, seen: int, cried: int, otherwise: str) -> None:
    """Print the line of a kind."""
    print(
        f"{kind:10}{count:8}{seen:6}{seen / count:8.3f}{count:8}{cried:7}{cried / count:7.3f}{otherwise:>11}"
    )


if __name__ == "__main__":
    main()
