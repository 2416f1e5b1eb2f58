"""A cut along a line exactly as it was drawn."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.curves import area
from splitpin.cutout.knife import checked
from splitpin.cutout.loop import loop_of
from splitpin.cutout.mistake import CutError
from splitpin.cutout.recipe import Recipe


def drawn(recipe: Recipe, width: int, height: int) -> NDArray[np.float64]:
    """The straight lines from point to point of a recipe's knife, or where it has none of its loop or box.

    Parameters
    ----------
    recipe
        What to follow.
    width, height
        The picture, pixels.

    Returns
    -------
    ndarray
        Curves (n, 4, 2), pixels, as :mod:`splitpin.cutout.curves` has them; closed, clockwise as seen.

    Raises
    ------
    CutError
        When the points enclose nothing, or the line through them crosses itself.
    """
    line = checked(recipe.knife, width, height) if recipe.knife else loop_of(recipe, width, height)
    points = np.array(line, np.float64)
    if abs(area(points)) < 1.0:
        raise CutError(
            "knife", "points that enclose nothing", "a line around the thing", "set points around it"
        )
    if area(points) < 0:
        points = points[::-1]
    ends = np.roll(points, -1, axis=0)
    return np.stack([points, (2 * points + ends) / 3, (points + 2 * ends) / 3, ends], axis=1)
