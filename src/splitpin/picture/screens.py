"""The screens that a picture was printed with, found in its spectrum."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, radians, sin, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.measure.light import light_table
from splitpin.picture.descreen import Screen

Rgb = NDArray[np.uint8]
Power = NDArray[np.float64]

TILE = 512
"""Pixels of the side of a piece that is looked at: frequencies 1/512 of a pixel's apart are told apart."""
MOST_TILES = 12
FINEST, COARSEST = 0.40, 1 / 24
"""Cycles a pixel: finer dots are lost in the scan, coarser ones are motifs."""
STANDS_OUT = 120.0
"""How many times the spectrum around it a peak must rise above, as power."""
SAME_ANGLE, SAME_PITCH = 4.0, 0.04
"""Degrees, and share of the frequency, within which two peaks are of one screen."""
STRONG = 0.006
"""Amplitude, in light, that the dots of at least one screen have: an enlarged picture's grid is fainter."""
CLEAR = 1.0
"""How many times the power around it a peak of such a screen holds: dots ring at one pitch throughout, the
grid of an enlarged picture rings with its detail."""
OVERTONES = ((sqrt(2), 45.0), (2.0, 0.0))
"""How much finer the overtones of a screen are, and how far turned. Small dots ring as strongly in them as in
the screen itself, and there is less of the picture around them, so that they stand out more."""
LINE, AROUND = 2, 7
"""Frequencies, each way, that a peak takes up, and that lie around it."""


class _Pair(NamedTuple):
    """Two peaks of one screen."""

    strength: float
    sure: bool
    """Whether it is of dots and of nothing else."""
    screen: Screen


class Peak(NamedTuple):
    """A peak of the spectrum."""

    fx: float
    """Cycles a pixel to the right."""
    fy: float
    """Cycles a pixel down."""
    power: float
    """Against the spectrum around it."""
    amplitude: float
    """Of the wave, in light, 0 to 1."""
    clearness: float
    """Its power against that of its neighbourhood."""

    @property
    def frequency(self) -> float:
        """Cycles a pixel."""
        return hypot(self.fx, self.fy)


def screens(rgb: Rgb) -> list[Screen]:
    """Find the screens of printed dots in a scan.

    A screen of dots is two gratings of one pitch at right angles: two peaks of the spectrum a quarter turn
    apart. Red, green and blue are looked at one by one, because each ink hides in the others' light.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.

    Returns
    -------
    list of Screen
        The strongest first; at most four, one an ink. Empty when there are none.
    """
    side = min(TILE, *rgb.shape[:2])
    if side < 64:
        return []
    found: list[_Pair] = []
    tiles = _tiles(rgb, side)
    for channel in range(3):
        power = _spectrum([light_table()[tile[..., channel]] / 65535 for tile in tiles], side)
        found += _pairs(_peaks(power, side))
    sure = _lowest([f for f in found if f.sure])
    if sure is None or all(_of_pixels(f.screen) for f in found if f.sure):
        return []
    # the inks of one print share a ruling; what is finer is an overtone, what is coarser a motif
    kept: list[Screen] = []
    for pair in sorted(found, key=lambda f: -f.strength):
        ratio = pair.screen.cell / sure.screen.cell
        near = 0.85 < ratio < 1.18 if pair.sure else abs(ratio - 1) < SAME_PITCH
        if near and not any(_alike(pair.screen, other) for other in kept):
            kept.append(pair.screen)
    return kept[:4]


def _lowest(sure: list[_Pair]) -> _Pair | None:
    """The strongest screen; where that is an overtone of a coarser one, that one."""
    best = max(sure, key=lambda f: f.strength, default=None)
    while best is not None:
        lower = [f for f in sure if _is_overtone(best.screen, f.screen)]
        if not lower:
            break
        best = max(lower, key=lambda f: f.strength)
    return best


def _is_overtone(fine: Screen, coarse: Screen) -> bool:
    return any(
        abs(coarse.cell / (fine.cell * finer) - 1) < SAME_PITCH / 2
        and abs(_near_nought(fine.angle - coarse.angle - turned)) < SAME_ANGLE / 2
        for finer, turned in OVERTONES
    )


def dot_power(rgb: Rgb, screen: Screen) -> float:
    """How strong the dots of a screen are, in decibels above one 8-bit step squared of light.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.
    screen
        The screen.
    """
    side = min(TILE, *rgb.shape[:2])
    tiles = _tiles(rgb, side)
    spectra = [
        _spectrum([light_table()[t[..., c]] / 65535 for t in tiles], side, whole=True) for c in range(3)
    ]
    total = 0.0
    for quarter in range(2):
        t = radians(screen.angle + 90 * quarter)
        fx, fy = cos(t) / screen.cell, -sin(t) / screen.cell
        x, y = round(fx * side) % side, round(fy * side) % side
        near = np.arange(-2, 3)
        total += sum(float(s[np.ix_((y + near) % side, (x + near) % side)].max()) for s in spectra)
    return 10 * float(np.log10(max(total, 1e-30) * 255**2))


def _tiles(rgb: Rgb, side: int) -> list[Rgb]:
    height, width = rgb.shape[:2]
    rows = max(1, min(4, height // side))
    columns = max(1, min(MOST_TILES // rows, width // side))
    tops = [round(t) for t in np.linspace(0, height - side, rows)] if rows > 1 else [(height - side) // 2]
    lefts = (
        [round(t) for t in np.linspace(0, width - side, columns)] if columns > 1 else [(width - side) // 2]
    )
    return [rgb[y : y + side, x : x + side] for y in tops for x in lefts]


def _spectrum(tiles: list[NDArray[np.float64]], side: int, *, whole: bool = False) -> Power:
    """The mean power spectrum of the pieces, each under a Hann window (Welch 1967)."""
    window = np.hanning(side + 1)[:side]
    weight = np.outer(window, window)
    total = np.zeros((side, side if whole else side // 2 + 1))
    transform = np.fft.fft2 if whole else np.fft.rfft2
    for tile in tiles:
        total += np.abs(transform((tile - tile.mean()) * weight)) ** 2
    return total / (len(tiles) * float((weight**2).sum()) * side * side)


def _peaks(power: Power, side: int) -> list[Peak]:
    """Peaks that stand out of what lies around them at the same frequency."""
    fy = np.fft.fftfreq(side)[:, None]
    fx = np.arange(power.shape[1])[None] / side
    radius = np.hypot(fx, fy)
    log = np.log(power + 1e-15)
    rings = (radius * side / 2).astype(int)
    size = int(rings.max()) + 1
    order = np.argsort(rings, axis=None, kind="stable")
    groups = np.split(log.ravel()[order], np.cumsum(np.bincount(rings.ravel(), minlength=size))[:-1])
    level = np.array([float(np.median(g)) if len(g) else 0.0 for g in groups])
    above = log - level[rings]
    allowed = (radius > COARSEST) & (radius < FINEST) & (above > np.log(STANDS_OUT))
    # the axes carry the picture's own edges, and the seams of its coding
    allowed &= (np.abs(fx) * side > 2) | (np.abs(fy) * side > 2)
    rolled = np.pad(log, ((1, 1), (1, 1)), mode="wrap")
    rolled[:, 0] = -np.inf
    rolled[:, -1] = -np.inf
    highest = np.ones_like(allowed)
    for dy in range(3):
        for dx in range(3):
            if (dy, dx) != (1, 1):
                highest &= log >= rolled[dy : dy + log.shape[0], dx : dx + log.shape[1]]
    ys, xs = np.nonzero(allowed & highest)
    strongest = np.argsort(-above[ys, xs])[:60]
    return [_refined(power, log, int(ys[i]), int(xs[i]), side, float(above[ys[i], xs[i]])) for i in strongest]


def _refined(power: Power, log: Power, y: int, x: int, side: int, above: float) -> Peak:
    """The top of the parabola through the logarithms of a peak and its neighbours, and how it stands out."""
    up, down = log[(y - 1) % side, x], log[(y + 1) % side, x]
    left = log[y, x - 1] if x > 0 else log[-y % side, 1]
    right = log[y, x + 1] if x + 1 < log.shape[1] else left
    here = log[y, x]
    dy, dx = _top(up, here, down), _top(left, here, right)
    row = y if y <= side // 2 else y - side
    line = _within(power, y, x, side, LINE)
    around = _within(power, y, x, side, AROUND) - line
    # a wave of amplitude a has the power a²/4 in each of its two peaks
    return Peak((x + dx) / side, (row + dy) / side, above, 2 * sqrt(line), line / max(around, 1e-30))


def _within(power: Power, y: int, x: int, side: int, reach: int) -> float:
    """The power of all frequencies within a square; the other half of the spectrum mirrors this one."""
    near = np.arange(-reach, reach + 1)
    ys, xs = np.meshgrid((y + near) % side, (x + near) % side, indexing="ij")
    other = xs > side // 2
    return float(power[np.where(other, -ys % side, ys), np.where(other, side - xs, xs)].sum())


def _top(before: float, here: float, after: float) -> float:
    bend = before - 2 * here + after
    return 0.0 if bend >= -1e-9 else float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5))


def _pairs(peaks: list[Peak]) -> list[_Pair]:
    """Two peaks of one pitch at right angles are a screen."""
    found = []
    for i, a in enumerate(peaks):
        for b in peaks[i + 1 :]:
            fa, fb = a.frequency, b.frequency
            if abs(fa - fb) > SAME_PITCH * max(fa, fb):
                continue
            one, other = _direction(a), _direction(b)
            if abs((other - one) % 180 - 90) > 2:
                continue
            angle = _near_nought((one + _near(other - 90, one)) / 2)
            sure = min(a.amplitude, b.amplitude) > STRONG and min(a.clearness, b.clearness) > CLEAR
            screen = Screen(round(2 / (fa + fb), 3), round(angle, 2))
            found.append(_Pair(min(a.power, b.power), sure, screen))
    return found


def _direction(peak: Peak) -> float:
    return degrees(atan2(-peak.fy, peak.fx))


def _near(angle: float, other: float) -> float:
    """The same direction of a screen's rows, a multiple of 90 degrees off, nearest to another."""
    return angle + 90 * round((other - angle) / 90)


def _near_nought(angle: float) -> float:
    return (angle + 45) % 90 - 45


def _of_pixels(screen: Screen) -> bool:
    """Whether it lies as the pixels of a picture enlarged a whole number of times: no ink is alone there."""
    return abs(screen.angle) < 0.1 and abs(screen.cell - round(screen.cell)) < 0.01


def _alike(one: Screen, other: Screen) -> bool:
    apart = abs(_near_nought(one.angle - other.angle))
    return apart < SAME_ANGLE and abs(one.cell / other.cell - 1) < 2 * SAME_PITCH
