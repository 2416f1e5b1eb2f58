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
FAR = 1e-3
"""What a colour counts that is up to four times as far away: far from a side there must be an answer too."""
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


def looks(colour: Floats) -> tuple[Floats, ...]:
    """The picture as it is looked at: once for all that is asked of it later."""
    return tuple(np.asarray(cv2.GaussianBlur(colour, (0, 0), blur), np.float32) for blur in BLURS)


def trimap(colour: tuple[Floats, ...], light: Floats, mask: Mask, inside: Mask, edge: int = 2) -> Trimap:
    """Find the band in which coverage must be found out.

    Parameters
    ----------
    colour
        What :func:`looks` makes of float32 (h, w, 3), sRGB, 0..1: sides are told apart in it.
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
        looked = list(zip(BLURS, colour, strict=True))
        for blur, soft in looked if last else looked[1:2]:
            way, apart = _way(soft, thing, behind, around)
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
    found = _discriminant(_nearby(colour, thing, around), _nearby(colour, ground, around), GRAIN)
    way, apart = _placed(colour, found, COARSE)
    return way, apart


def _nearby(colour: Floats, side: Mask, around: int) -> NDArray[np.float64]:
    """Sums (…, 10) of a side's colours around places COARSE pixels apart, as :func:`_moments` has them."""
    moments = _moments(colour, side, COARSE)
    most = max(side.shape) // COARSE
    # Far from the side a wider neighbourhood is asked, with little weight, so that there is always an answer.
    whole = moments.sum((0, 1), dtype=np.float64) / (2 * most + 1) ** 2
    near, far = (max(1, min(reach // COARSE, most)) for reach in (around, 4 * around))
    return np.asarray(_summed(_table(moments), near, far, FAR, 1e-6 * whole), np.float64)


@kernel
def _table(values: Any) -> Any:
    """Sums of all that lies above and to the left."""
    h, w, n = values.shape
    out = np.zeros((h + 1, w + 1, n))
    row = np.empty(n)
    for y in range(h):
        row[:] = 0.0
        for x in range(w):
            for k in range(n):
                row[k] += values[y, x, k]
                out[y + 1, x + 1, k] = out[y, x + 1, k] + row[k]
    return out


@kernel
def _summed(table: Any, near: Any, far: Any, weight: Any, least: Any) -> Any:
    """Sums over the square of ``near`` places on each side, plus ``weight`` times that of ``far``."""
    h, w, n = table.shape[0] - 1, table.shape[1] - 1, table.shape[2]
    out = np.empty((h, w, n))
    for y in range(h):
        up, down = max(0, y - near), min(h, y + near + 1)
        top, foot = max(0, y - far), min(h, y + far + 1)
        for x in range(w):
            left, right = max(0, x - near), min(w, x + near + 1)
            start, end = max(0, x - far), min(w, x + far + 1)
            for k in range(n):
                beside = (
                    table[down, right, k] - table[up, right, k] - table[down, left, k] + table[up, left, k]
                )
                wide = table[foot, end, k] - table[top, end, k] - table[foot, start, k] + table[top, start, k]
                out[y, x, k] = beside + weight * wide + least[k]
    return out


@kernel
def _placed(colour: Any, found: Any, coarse: Any) -> Any:
    """Each pixel's place on the way, and how far apart the sides are there, between the places around."""
    h, w = colour.shape[0], colour.shape[1]
    way, apart = np.empty((h, w), np.float32), np.empty((h, w), np.float32)
    line = np.empty((found.shape[1], 5), np.float32)
    for y in range(h):
        v = (np.float32(y) + np.float32(0.5)) / np.float32(coarse) - np.float32(0.5)
        y0 = min(max(int(np.floor(v)), 0), found.shape[0] - 1)
        y1 = min(y0 + 1, found.shape[0] - 1)
        ty = min(max(v - np.float32(y0), np.float32(0.0)), np.float32(1.0))
        for x in range(found.shape[1]):
            for k in range(5):
                line[x, k] = found[y0, x, k] + (found[y1, x, k] - found[y0, x, k]) * ty
        for x in range(w):
            u = (np.float32(x) + np.float32(0.5)) / np.float32(coarse) - np.float32(0.5)
            x0 = min(max(int(np.floor(u)), 0), found.shape[1] - 1)
            x1 = min(x0 + 1, found.shape[1] - 1)
            tx = min(max(u - np.float32(x0), np.float32(0.0)), np.float32(1.0))
            a, b = line[x0], line[x1]
            s = -(a[3] + (b[3] - a[3]) * tx)
            for k in range(3):
                s += (a[k] + (b[k] - a[k]) * tx) * colour[y, x, k]
            way[y, x] = s
            apart[y, x] = a[4] + (b[4] - a[4]) * tx
    return way, apart


@kernel
def _discriminant(thing: Any, behind: Any, grain: Any) -> Any:
    """Fisher's: red, green and blue of the way, where it begins, and how far apart the sides are."""
    h, w = thing.shape[0], thing.shape[1]
    out = np.empty((h, w, 5), np.float32)
    mean, cov = np.zeros((2, 3)), np.zeros(6)
    for y in range(h):
        for x in range(w):
            cov[:] = 0.0
            for side in range(2):
                m = thing[y, x] if side == 0 else behind[y, x]
                n = max(m[0], 1e-15)
                mean[side, 0], mean[side, 1], mean[side, 2] = m[1] / n, m[2] / n, m[3] / n
                k = 0
                for i in range(3):
                    for j in range(i, 3):
                        cov[k] += (m[4 + k] / n - mean[side, i] * mean[side, j]) / 2
                        k += 1
            rr, rg, rb = cov[0] + grain, cov[1], cov[2]
            gg, gb, bb = cov[3] + grain, cov[4], cov[5] + grain
            r, g, b = mean[0, 0] - mean[1, 0], mean[0, 1] - mean[1, 1], mean[0, 2] - mean[1, 2]
            c0, c1, c2 = gg * bb - gb * gb, rb * gb - rg * bb, rg * gb - rb * gg
            by = 1.0 / (rr * c0 + rg * c1 + rb * c2)
            a0 = (c0 * r + c1 * g + c2 * b) * by
            a1 = (c1 * r + (rr * bb - rb * rb) * g + (rg * rb - rr * gb) * b) * by
            a2 = (c2 * r + (rg * rb - rr * gb) * g + (rr * gg - rg * rg) * b) * by
            apart = max(a0 * r + a1 * g + a2 * b, 1e-6)
            out[y, x, 0], out[y, x, 1], out[y, x, 2] = a0 / apart, a1 / apart, a2 / apart
            out[y, x, 3] = (a0 * mean[1, 0] + a1 * mean[1, 1] + a2 * mean[1, 2]) / apart
            out[y, x, 4] = apart
    return out


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
