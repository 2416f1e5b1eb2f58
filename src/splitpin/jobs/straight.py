"""Open a found picture as it is used with all it has: its depth and its alpha."""

from __future__ import annotations

import numpy as np

from splitpin.cutout.refill import eight_bits, ground
from splitpin.device.straight import Straight, read_straight
from splitpin.folder.pictures import measure_picture
from splitpin.jobs.found import Found, explained, open_fitted
from splitpin.picture.fit import Fit, fitted_clear, kept


def open_straight(found: Found) -> Straight:
    """A found picture made fit, not laid on white.

    A crop keeps all its bits. Other steps that make it fit work with 8 bits a channel, and a note says so.

    Raises
    ------
    FolderError, CutError
        When it cannot be read, or is nothing but clear.
    """
    with explained(found.path):
        measure_picture(found.path)
        whole = read_straight(found.path, found.document.page)
    fit = found.document.fit
    if fit.idle:
        return whole
    if fit == Fit(crop=fit.crop) and fit.crop is not None:
        part = kept(fit.crop, whole.rgb.shape[1], whole.rgb.shape[0])
        return whole._replace(rgb=whole.rgb[part], alpha=None if whole.alpha is None else whole.alpha[part])
    deep = whole.rgb.dtype == np.uint16
    notes = (
        (*whole.notes, "of its 16 bits a channel 8 are kept: it is made fit with them")
        if deep
        else whole.notes
    )
    if whole.alpha is None:
        return Straight(open_fitted(found), None, notes)
    rgb, alpha = fitted_clear(ground(whole.rgb, whole.alpha), eight_bits(whole.alpha), fit)
    return Straight(rgb, alpha, notes)
