"""What would make a scan fit, found in the scan."""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.picture.detail import detail
from splitpin.picture.fit import Fit, PrintedScreen, fitted, preview
from splitpin.picture.points import points
from splitpin.picture.screens import screens
from splitpin.picture.straighten import Tilt, page_box, tilt

Rgb = NDArray[np.uint8]

LEVEL = 0.03
"""A scan less askew than this, in degrees, stays as it is: turning would cost more than it gives."""
SOFT = 2.0
"""Pixels of the scan to one real pixel above which it is called soft: photographs as cameras make them have
1 to 1.6, the same enlarged to twice their size 1.8 to 3.5."""
MARK = (200, 30, 30)
"""The colour of the page's outline in the pair of pictures."""


class Wanted(NamedTuple):
    """Which steps are looked for."""

    straighten: bool = True
    angle: float | None = None
    """Turn by this many degrees instead of looking."""
    crop: bool = True
    """Crop to the page, when its edges are found."""
    box: tuple[int, int, int, int] | None = None
    """Crop to this instead, in pixels of the straightened picture: left, top, width, height."""
    points: bool = True
    descreen: bool = True


class FoundFit(NamedTuple):
    """The steps, and what shows that they are called for."""

    fit: Fit
    tilt: Tilt
    soft: float | None = None
    """Pixels of the scan to one real pixel, where it looks enlarged or out of focus; else None."""


def find_fit(rgb: Rgb, wanted: Wanted) -> FoundFit:
    """Look a scan through.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB, as found.
    wanted
        Which steps are looked for.
    """
    lies = tilt(rgb) if (wanted.straighten and wanted.angle is None) or wanted.crop else Tilt(0.0, "nothing")
    angle = wanted.angle if wanted.angle is not None else lies.angle if wanted.straighten else 0.0
    angle = 0.0 if abs(angle) < LEVEL else round(angle, 3)
    box = wanted.box
    if box is None and wanted.crop and wanted.angle is None and wanted.straighten:
        box = page_box(lies, rgb.shape[1], rgb.shape[0])
    fit = Fit(straighten=angle, crop=box)
    straight = fitted(rgb, fit)
    if wanted.points:
        # without a crop the scan itself is asked: corners filled while it was turned are no paper of it
        at = points(rgb if box is None else straight)
        fit = fit.model_copy(
            update={
                "white": at.white if min(at.white) < 255 else None,
                "black": at.black if max(at.black) > 0 else None,
            }
        )
    dots = screens(straight)
    if wanted.descreen:
        printed = [PrintedScreen(cell=s.cell, angle=s.angle) for s in dots]
        fit = fit.model_copy(update={"screens": printed})
    pitch = detail(straight).pitch
    # dots have edges of their own: what a print holds follows from its ruling
    return FoundFit(fit, lies, pitch if pitch > SOFT and not dots else None)


def pair(rgb: Rgb, found: FoundFit, result: Rgb) -> Rgb:
    """Before and after in one picture: the whole above, with the page's outline; below the middle, large.

    Parameters
    ----------
    rgb
        The scan.
    found
        What was found in it.
    result
        The scan made fit.
    """
    before = preview(rgb, 800).copy()
    if found.tilt.page:
        k = np.array([before.shape[1] / rgb.shape[1], before.shape[0] / rgb.shape[0]])
        corners = np.rint(np.array(found.tilt.page) * k).astype(np.int32)
        cv2.polylines(before, [corners], True, MARK, 2, cv2.LINE_AA)
    wholes = _beside(before, preview(result, 800))
    box = found.fit.crop or (0, 0, rgb.shape[1], rgb.shape[0])
    there = (box[0] + result.shape[1] / 2, box[1] + result.shape[0] / 2)
    closes = _beside(_close(rgb, *there), _close(result, result.shape[1] / 2, result.shape[0] / 2))
    return _joined([wholes, closes], 0)


def _close(rgb: Rgb, x: float, y: float, side: int = 200, times: int = 4) -> Rgb:
    left = int(np.clip(x - side / 2, 0, max(0, rgb.shape[1] - side)))
    top = int(np.clip(y - side / 2, 0, max(0, rgb.shape[0] - side)))
    part = rgb[top : top + side, left : left + side]
    return np.ascontiguousarray(part.repeat(times, 0).repeat(times, 1))


def _beside(one: Rgb, other: Rgb) -> Rgb:
    return _joined([one, other], 1)


def _joined(pictures: list[Rgb], axis: int, gap: int = 16) -> Rgb:
    across = 1 - axis
    most = max(p.shape[across] for p in pictures)
    padded: list[Rgb] = []
    for i, picture in enumerate(pictures):
        widths = [(0, 0), (0, 0), (0, 0)]
        widths[across] = (0, most - picture.shape[across])
        widths[axis] = (gap if i else 0, 0)
        padded.append(np.pad(picture, widths, constant_values=255))
    return np.concatenate(padded, axis=axis)
