"""How loud the film's mix is in each frame: the wave that is drawn beside rows."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from splitpin.jobs.shop import Shop
from splitpin.jobs.sounding import sounding
from splitpin.measure.rate import samples_of


def peaks_of(shop: Shop, scenes: Collection[str] | None = None) -> dict[str, tuple[float, ...]]:
    """The loudest sample in each frame, 0 to 1, by scene.

    Parameters
    ----------
    shop
        The film.
    scenes
        Scenes of it; all when left out.

    Raises
    ------
    RefusedError
        When a sound that is there cannot be used.
    """
    mix, rate = sounding(shop).mix, shop.film.exact_rate
    found: dict[str, tuple[float, ...]] = {}
    first = 0
    for sheet in shop.ready.sheets:
        frames = range(first, first + sheet.frames)
        first += sheet.frames
        if scenes is not None and sheet.scene not in scenes:
            continue
        blocks = (
            mix.read(samples_of(n, rate), samples_of(n + 1, rate) - samples_of(n, rate)) for n in frames
        )
        found[sheet.scene] = tuple(round(float(np.abs(block).max(initial=0.0)), 3) for block in blocks)
    return found
