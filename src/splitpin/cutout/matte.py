"""How much of each pixel in a band the thing covers.

A. Levin, D. Lischinski, Y. Weiss, "A closed-form solution to natural image matting", IEEE PAMI 30(2), 2008:
within every 3 × 3 window the coverage is a linear function of the colour; the quadratic form that this gives
is minimised by conjugate gradients, in the band only.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from splitpin.measure.compiled import kernel

Floats = NDArray[np.float32]
EPSILON = 1e-6
"""How much colour may stray from the line within a window, as a variance; little, for in linear light shadows
lie close together."""
ENOUGH = 1e-3
"""The residual, against the first one, at which the solver stops."""
MOST = 300
"""Steps after which it stops in any case."""


def matte(
    colour: Floats,
    known: Floats,
    guess: Floats | None = None,
    weight: Floats | None = None,
    epsilon: float = EPSILON,
) -> Floats:
    """Coverage from colour.

    Parameters
    ----------
    colour
        float32 (h, w, 3), 0..1; linear light, since that is what mixes.
    known
        float32 (h, w): 0 where nothing of the thing is, 1 where nothing else is, anything else to be found.
    guess
        float32 (h, w): what is likely, and where to start. By default one half.
    weight
        float32 (h, w): how strongly each pixel is drawn to the guess. By default not at all, which is the
        published method.
    epsilon
        See :data:`EPSILON`.

    Returns
    -------
    ndarray
        float32 (h, w), 0..1.
    """
    alpha = known.astype(np.float32)
    unknown = (known > 0) & (known < 1)
    count = int(np.count_nonzero(unknown))
    if count == 0:
        return alpha
    if min(known.shape) < 3 or count == known.size:
        return np.where(unknown, np.float32(0.5) if guess is None else guess, alpha).astype(np.float32)
    places = np.full(known.shape, -1, np.int32)
    places[unknown] = np.arange(count, dtype=np.int32)
    form, right, beside = _assemble(np.ascontiguousarray(colour, np.float32), alpha, places, count, epsilon)
    start = np.full(count, 0.5) if guess is None else guess[unknown].astype(np.float64)
    if weight is not None:
        pull = weight[unknown]
        form[:, 12] += pull
        right += pull * start
    found = _solve(form, right, beside, start, ENOUGH, MOST)
    alpha[unknown] = np.clip(found, 0.0, 1.0)
    return alpha


@kernel
def _assemble(colour: Any, alpha: Any, places: Any, count: Any, epsilon: Any) -> Any:
    h, w = places.shape
    form = np.zeros((count, 25), np.float32)
    right = np.zeros(count, np.float64)
    beside = np.full((count, 25), count, np.int32)
    d = np.empty((9, 3))
    e = np.empty((9, 3))
    for y in range(h):
        for x in range(w):
            n = places[y, x]
            if n >= 0:
                for k in range(25):
                    yy, xx = y + k // 5 - 2, x + k % 5 - 2
                    if 0 <= yy < h and 0 <= xx < w and places[yy, xx] >= 0:
                        beside[n, k] = places[yy, xx]
    for y in range(1, h - 1):
        for x in range(1, w - 1):
            some = False
            for k in range(9):
                some = some or places[y + k // 3 - 1, x + k % 3 - 1] >= 0
            if not some:
                continue
            m0 = m1 = m2 = 0.0
            for k in range(9):
                for c in range(3):
                    d[k, c] = colour[y + k // 3 - 1, x + k % 3 - 1, c]
                m0 += d[k, 0]
                m1 += d[k, 1]
                m2 += d[k, 2]
            s00 = s01 = s02 = s11 = s12 = s22 = 0.0
            for k in range(9):
                d[k, 0] -= m0 / 9
                d[k, 1] -= m1 / 9
                d[k, 2] -= m2 / 9
                s00 += d[k, 0] * d[k, 0]
                s01 += d[k, 0] * d[k, 1]
                s02 += d[k, 0] * d[k, 2]
                s11 += d[k, 1] * d[k, 1]
                s12 += d[k, 1] * d[k, 2]
                s22 += d[k, 2] * d[k, 2]
            s00, s11, s22 = (s00 + epsilon) / 9, (s11 + epsilon) / 9, (s22 + epsilon) / 9
            s01, s02, s12 = s01 / 9, s02 / 9, s12 / 9
            c00, c01, c02 = s11 * s22 - s12 * s12, s02 * s12 - s01 * s22, s01 * s12 - s02 * s11
            c11, c12, c22 = s00 * s22 - s02 * s02, s01 * s02 - s00 * s12, s00 * s11 - s01 * s01
            by = 1.0 / (s00 * c00 + s01 * c01 + s02 * c02)
            for k in range(9):
                e[k, 0] = (c00 * d[k, 0] + c01 * d[k, 1] + c02 * d[k, 2]) * by
                e[k, 1] = (c01 * d[k, 0] + c11 * d[k, 1] + c12 * d[k, 2]) * by
                e[k, 2] = (c02 * d[k, 0] + c12 * d[k, 1] + c22 * d[k, 2]) * by
            for i in range(9):
                n = places[y + i // 3 - 1, x + i % 3 - 1]
                if n < 0:
                    continue
                for j in range(9):
                    v = -(1.0 + e[i, 0] * d[j, 0] + e[i, 1] * d[j, 1] + e[i, 2] * d[j, 2]) / 9
                    if i == j:
                        v += 1.0
                    yy, xx = y + j // 3 - 1, x + j % 3 - 1
                    if places[yy, xx] >= 0:
                        form[n, (j // 3 - i // 3 + 2) * 5 + j % 3 - i % 3 + 2] += v
                    else:
                        right[n] -= v * alpha[yy, xx]
    return form, right, beside


@kernel
def _solve(form: Any, right: Any, beside: Any, start: Any, enough: Any, most: Any) -> Any:
    # Sums run in one order in one thread, so that the same matte comes out on every run.
    count = len(right)
    x, p = np.zeros(count + 1), np.zeros(count + 1)
    r, q = np.empty(count), np.empty(count)
    x[:count] = start
    first = rz = 0.0
    for n in range(count):
        v = right[n]
        for k in range(25):
            v -= form[n, k] * x[beside[n, k]]
        r[n] = v
        p[n] = v / (form[n, 12] + 1e-9)
        rz += v * p[n]
        first += right[n] * right[n]
    first = max(first, 1e-20)
    for _ in range(most):
        pq = 0.0
        for n in range(count):
            v = 0.0
            for k in range(25):
                v += form[n, k] * p[beside[n, k]]
            q[n] = v
            pq += v * p[n]
        if pq <= 0:
            break
        step = rz / pq
        rr = new = 0.0
        for n in range(count):
            x[n] += step * p[n]
            r[n] -= step * q[n]
            rr += r[n] * r[n]
            new += r[n] * r[n] / (form[n, 12] + 1e-9)
        if rr <= enough * enough * first:
            break
        turn = new / rz
        rz = new
        for n in range(count):
            p[n] = r[n] / (form[n, 12] + 1e-9) + turn * p[n]
    return x[:count]
