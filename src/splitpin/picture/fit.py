"""Steps that make a scan fit to be used; the scan itself is never altered."""

from __future__ import annotations

from typing import Annotated

import cv2
import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from splitpin.measure.plain import Count, Plain
from splitpin.picture.descreen import Screen, descreen
from splitpin.picture.points import Points, levelled
from splitpin.picture.turn import straightened, straightened_clear

Rgb = NDArray[np.uint8]

Whole = Annotated[int, Field(strict=True, ge=0, le=1_000_000)]
Level = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=255)]
Tone = tuple[Level, Level, Level]


class PrintedScreen(Plain):
    """One screen of dots that the picture was printed with."""

    cell: Annotated[float, Field(strict=True, ge=2, le=100)]
    """From dot to dot, in pixels of the scan: ppi ÷ lines per inch."""
    angle: Annotated[float, Field(strict=True, ge=-180, le=180)] = 45.0
    """The direction of its rows in the straightened picture, degrees anticlockwise."""


class Fit(Plain):
    """Steps that make the scan fit, done in this order whenever the picture is used."""

    straighten: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=-45, le=45)] = 0.0
    """How far the picture is turned, degrees anticlockwise, about its middle. It keeps its size; corners that
    it does not reach any more get the middle tone of its edge."""
    crop: tuple[Whole, Whole, Count, Count] | None = None
    """What is kept of the straightened picture: ``[left, top, width, height]``, pixels."""
    white: Tone | None = None
    """The red, green and blue of bare paper in the scan, 0 to 255: it becomes white."""
    black: Tone | None = None
    """The red, green and blue of the deepest ink in the scan, 0 to 255: it becomes black."""
    screens: list[PrintedScreen] = []
    """The screens of printed dots that are smoothed into tones."""

    @property
    def idle(self) -> bool:
        """Whether it changes nothing."""
        return not self.straighten and self.crop is None and self.points is None and not self.screens

    @property
    def points(self) -> Points | None:
        """The black and white points; None when there are none."""
        if self.white is None and self.black is None:
            return None
        return Points(self.black or (0.0, 0.0, 0.0), self.white or (255.0, 255.0, 255.0))


def fitted(rgb: Rgb, fit: Fit) -> Rgb:
    """A scan, made fit.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.
    fit
        What to do. A crop that reaches past the picture is cut to it.

    Returns
    -------
    ndarray
        uint8 sRGB of the crop's size, or the scan's; the scan itself when nothing is to be done.
    """
    if fit.straighten:
        rgb = straightened(rgb, fit.straighten)
    if fit.crop is not None:
        rgb = np.ascontiguousarray(rgb[kept(fit.crop, rgb.shape[1], rgb.shape[0])])
    if (points := fit.points) is not None:
        rgb = levelled(rgb, points)
    if fit.screens:
        rgb = descreen(rgb, [Screen(s.cell, s.angle) for s in fit.screens])
    return rgb


def fitted_clear(rgb: Rgb, alpha: NDArray[np.uint8], fit: Fit) -> tuple[Rgb, NDArray[np.uint8]]:
    """A scan that is clear in places, made fit as :func:`fitted` does.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB, straight. Clear pixels should have a colour like that beside them,
        which smoothing dots mixes in.
    alpha
        uint8 (height, width).
    fit
        What to do.
    """
    if fit.straighten:
        rgb, alpha = straightened_clear(rgb, alpha, fit.straighten)
    if fit.crop is not None:
        alpha = np.ascontiguousarray(alpha[kept(fit.crop, alpha.shape[1], alpha.shape[0])])
    return fitted(rgb, fit.model_copy(update={"straighten": 0.0})), alpha


def kept(crop: tuple[int, int, int, int], width: int, height: int) -> tuple[slice, slice]:
    """The rows and columns that a crop keeps of a picture; one that reaches past it is cut to it."""
    left, top = min(crop[0], width - 1), min(crop[1], height - 1)
    return slice(top, top + crop[3]), slice(left, left + crop[2])


def reduced(fit: Fit, k: float) -> Fit:
    """The same steps for the picture averaged down.

    Parameters
    ----------
    fit
        The steps.
    k
        Pixels of the smaller picture to one of the scan, at most 1. Dots that become smaller than two of its
        pixels are tones there already.
    """
    crop = None
    if fit.crop is not None:
        left, top, width, height = (round(v * k) for v in fit.crop)
        crop = left, top, max(1, width), max(1, height)
    least = 2.0
    dots = [s.model_copy(update={"cell": s.cell * k}) for s in fit.screens if s.cell * k >= least]
    return fit.model_copy(update={"crop": crop, "screens": dots})


def preview(rgb: Rgb, side: int = 1600) -> Rgb:
    """The picture no larger than ``side`` pixels either way, averaged down."""
    k = side / max(rgb.shape[:2])
    if k >= 1:
        return rgb
    size = max(1, round(rgb.shape[1] * k)), max(1, round(rgb.shape[0] * k))
    return np.asarray(cv2.resize(rgb, size, interpolation=cv2.INTER_AREA), np.uint8)
