"""The forecast: what will go wrong on the table, told before anything is shot.

Comes in: a scene's sheet with its figures, its cut-outs' coverage and the limits. Goes out: what is foreseen,
each with its exposure, its place on the table, and what to do. One kind a file; the list below is all kinds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from splitpin.sheet.forecast.envelope import envelope
from splitpin.sheet.forecast.feet import feet
from splitpin.sheet.forecast.field import field
from splitpin.sheet.forecast.gaps import gaps
from splitpin.sheet.forecast.handle import handle
from splitpin.sheet.forecast.holes import holes
from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.forecast.silent import silent
from splitpin.sheet.forecast.stack import stack
from splitpin.sheet.forecast.still import still
from splitpin.sheet.forecast.strobe import strobe

KINDS: Mapping[str, Callable[[Known], Iterable[Foreseen]]] = {
    "holes": holes,
    "gaps": gaps,
    "field": field,
    "strobe": strobe,
    "handle": handle,
    "stack": stack,
    "feet": feet,
    "silent": silent,
    "still": still,
    "envelope": envelope,
}
"""Every kind of thing that is foreseen, in the order in which a scene's are told."""


def forecast(known: Known) -> tuple[Foreseen, ...]:
    """All that is foreseen of a scene, kind by kind."""
    return tuple(told for kind in KINDS.values() for told in kind(known))
