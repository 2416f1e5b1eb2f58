"""From a rough loop alone, on pictures whose true coverage is known, against the usual way."""

from __future__ import annotations

import numpy as np
from tests.truth import band_of, grabcut, one

from splitpin.cutout.cut import cut
from splitpin.cutout.recipe import Recipe

MEGAPIXELS = 0.12


def test_coverage_is_at_least_four_times_as_true_as_a_feathered_grabcut_s_on_the_median() -> None:
    times = []
    for kind in ("paper", "round", "hairy", "thin"):
        for number in (40, 41):
            t = one(kind, number, MEGAPIXELS)
            piece = cut(t.rgb, Recipe(loop=t.loop))
            x, y, w, h = piece.box
            ours = np.zeros(t.alpha.shape)
            ours[y : y + h, x : x + w] = piece.rgba[..., 3] / 255
            band = band_of(t)
            off, usual = (float(((a - t.alpha)[band] ** 2).mean()) for a in (ours, grabcut(t, 0.0)))
            assert off < usual, t.name
            times.append(usual / off)
    assert np.median(times) >= 4
