"""Where it is sure what a pixel belongs to, and where that must be found out.

The band follows the edge as the picture shows it. Near the edge each pixel is placed on the way from the
ground's colours to the thing's (Fisher's linear discriminant, from colours collected nearby on either side):
beside a paper edge all pixels lie at its ends and the band is narrow; among hair they lie between, or at the
wrong end, and the band grows over them. Where the sides cannot be told by colour it stays narrow.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.measure.compiled import kernel

Mask = NDArray[np.bool_]
Floats = NDArray[np.float32]

CORE = 0.06
"""How far from the edge colours are taken to know a side, as a share of the thing's size: past most hair."""
AROUND = 0.12
"""How far around a pixel they are collected, in the same measure."""
BLURS = (0.8, 2.0, 5.0)
"""The pixels are looked at through these Gaussians: hairs through a narrow one, fur through a wide one."""
REST = 1.6
"""How many of its widths a Gaussian spreads a sharp edge."""
COARSE = 4
"""From one place where they are collected to the next, pixels."""
SURE = 0.15
"""How far along the way a pixel may lie and yet belong to its end."""
SPREAD = 1.2
"""The same, in standard deviations of the way's own noise."""
APART = 6.0
"""How far apart the sides must be to be told by colour: their squared distance in variances."""
GRAIN = 2e-4
"""The least variance of a colour, 0..1: noise and print."""
LOT = 0.4
"""The share of mixed pixels nearby from which a pixel is not mixed by chance."""
REACH = 0.3
"""How far from the edge mixed pixels are looked for, as a share of the thing's size."""


class Trimap(NamedTuple):
    """What is sure, and what is likely elsewhere."""

    known: Floats
    """(h, w): 1 where the thing surely is, 0 where it surely is not, 0.5 in the band."""
    likely: Floats
    """(h, w), 0..1: what each pixel's own colour says of its coverage."""
    apart: Floats
    """(h, w): how much that is worth: one over its variance."""


def trimap(colour: Floats, light: Floats, mask: Mask, inside: Mask, edge: int = 2) -> Trimap:
    """Find the band in which coverage must be found out.

    Parameters
    ----------
    colour
        float32 (h, w, 3), sRGB, 0..1: sides are told apart in it.
    light
        float32 (h, w, 3), linear light: coverage is read in it, since in it thing and ground were mixed.
    mask
        (h, w): the thing, roughly.
    inside
        (h, w): within the loop.
    edge
        Half the width of the band along a sharp edge, pixels.
    """
    if not mask.any() or mask.all():
        return Trimap(mask.astype(np.float32), mask.astype(np.float32), np.zeros(mask.shape, np.float32))
    size = float(np.sqrt(np.count_nonzero(mask)))
    ground = ~mask
    within, beyond = _distance(mask), _distance(ground)
    core = max(edge + 1.0, min(CORE * size, 0.5 * float(within.max())))
    around = max(3, round(AROUND * size))
    away = within + beyond
    band = away <= edge
    likely, worth = mask.astype(np.float32), np.zeros(mask.shape, np.float32)
    near = inside & (away < REACH * size)
    # At first the sides' colours are known with some hair among them, then without.
    for last in (False, True):
        mixed = np.zeros(mask.shape, bool)
        thing, behind = mask & (within > core) & ~band, ground & (beyond > core) & ~band
        if not (thing.any() and behind.any()):
            break
        for blur in BLURS if last else BLURS[1:2]:
            way, apart = _way(
                np.asarray(cv2.GaussianBlur(colour, (0, 0), blur), np.float32), thing, behind, around
            )
            off = np.maximum(SURE, SPREAD / np.sqrt(apart))
            found = near & (apart > APART) & np.where(mask, way < 1 - off, way > off)
            # A sharp edge looks soft through a wide Gaussian, but not far from itself.
            mixed |= _dense(found & (away > REST * blur), round(REST * blur))
        band = (away <= edge) | _touching(mixed & near, away <= edge)
    if thing.any() and behind.any():
        way, worth = _way(light, thing, behind, around)
        likely = np.clip(way, 0, 1)
    known = mask.astype(np.float32)
    known[band & inside] = 0.5
    known[~inside] = 0.0
    return Trimap(known, likely, worth)


def _distance(mask: Mask) -> Floats:
    return np.asarray(cv2.distanceTransform(mask.astype(np.uint8), cv2.DIST_L2, 5), np.float32)


def _dense(mixed: Mask, by: int) -> Mask:
    # A grain of print is mixed alone; a hair is mixed together with its neighbours.
    k = 2 * by + 1
    lot = mixed & (cv2.blur(mixed.astype(np.float32), (k, k)) > LOT)
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * by + 1, 2 * by + 1))
    return np.asarray(cv2.dilate(lot.astype(np.uint8), disc), bool)


def _touching(some: Mask, band: Mask) -> Mask:
    _, labels = cv2.connectedComponents((some | band).astype(np.uint8), connectivity=8)
    touched = np.zeros(int(labels.max()) + 1, bool)
    touched[np.unique(labels[band])] = True
    touched[0] = False
    return np.asarray(some & touched[labels], bool)


def _way(colour: Floats, thing: Mask, ground: Mask, around: int) -> tuple[Floats, Floats]:
    """How far each pixel lies from the ground's colours (0) to the thing's (1); how far apart they are."""
    h, w = thing.shape
    mean_f, cov_f = _colours(colour, thing, around)
    mean_b, cov_b = _colours(colour, ground, around)
    cov = (cov_f + cov_b) / 2
    for i in range(3):
        cov[..., i, i] += GRAIN
    step = mean_f - mean_b
    along = np.linalg.solve(cov, step[..., None])[..., 0]
    apart = np.maximum(np.einsum("ijk,ijk->ij", along, step), 1e-6)
    slope = along / apart[..., None]
    rest = np.einsum("ijk,ijk->ij", slope, mean_b)
    # Squares over the edge reach past it.
    whole = (apart.shape[1] * COARSE, apart.shape[0] * COARSE)
    line = cv2.resize(np.dstack([slope, rest]).astype(np.float32), whole)[:h, :w]
    way = np.einsum("ijk,ijk->ij", line[..., :3], colour) - line[..., 3]
    return way, np.maximum(cv2.resize(apart.astype(np.float32), whole)[:h, :w], np.float32(1e-6))


def _colours(colour: Floats, side: Mask, around: int) -> tuple[Floats, Floats]:
    """Mean (…, 3) and covariance (…, 3, 3) of a side's colours around places COARSE pixels apart."""
    h, w = side.shape
    moments = _moments(colour, side, COARSE)
    summed = np.zeros(moments.shape, np.float64)
    # Far from the side a wider neighbourhood is asked, with little weight, so that there is always an answer.
    for reach, weight in ((around, 1.0), (4 * around, 1e-3), (4 * max(h, w), 1e-6)):
        k = 2 * max(1, min(reach, max(h, w)) // COARSE) + 1
        summed += weight * cv2.boxFilter(moments, cv2.CV_64F, (k, k), borderType=cv2.BORDER_CONSTANT)
    n = np.maximum(summed[..., :1], 1e-15)
    mean = summed[..., 1:4] / n
    cov = np.empty((*mean.shape, 3), np.float32)
    for m, (i, j) in enumerate(((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))):
        cov[..., i, j] = cov[..., j, i] = summed[..., 4 + m] / n[..., 0] - mean[..., i] * mean[..., j]
    return mean.astype(np.float32), cov


@kernel
def _moments(colour: Any, side: Any, coarse: Any) -> Any:
    """Sums over squares of a side's pixels: how many, their colours, and the products of these."""
    h, w = side.shape
    out = np.zeros(((h + coarse - 1) // coarse, (w + coarse - 1) // coarse, 10), np.float32)
    for y in range(h):
        for x in range(w):
            if side[y, x]:
                m = out[y // coarse, x // coarse]
                r, g, b = colour[y, x, 0], colour[y, x, 1], colour[y, x, 2]
                m[0] += 1.0
                m[1] += r
                m[2] += g
                m[3] += b
                m[4] += r * r
                m[5] += r * g
                m[6] += r * b
                m[7] += g * g
                m[8] += g * b
                m[9] += b * b
    return out
