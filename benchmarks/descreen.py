"""How well printed dots become tones, against the best gaussians, on pictures that nothing was tuned on.

Run: ``python benchmarks/descreen.py``. Simulated prints of four inks, 85, 133 and 150 lines per inch, scanned
at 600 ppi. Each gaussian's width is the best of many for that very picture, which nobody could know without
the truth; ours is one setting for all. All times are of one thread, on both sides.
"""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

import cv2
import numpy as np
import skimage
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[1]))
from tests.halftone import printed, psnr

from splitpin.measure.light import to_light, to_signal
from splitpin.picture.descreen import descreen
from splitpin.picture.screens import dot_power, screens

Rgb = NDArray[np.uint8]
TUNED_ON = ("chelsea", "coffee", "astronaut", "motorcycle_left")
HELD_OUT = ("rocket", "hubble_deep_field", "retina", "ihc", "camera", "moon", "brick", "page")
SHARES = (0.2, 0.25, 0.3, 0.33, 0.36, 0.4, 0.45, 0.5, 0.6, 0.75)
"""Widths of the gaussians, sigma in cells."""
SIDE = 260


def pictures() -> dict[str, Rgb]:
    """Middles of photographs, printed at 300 pixels per inch as magazines ask for."""
    folder = Path(skimage.__file__).parent / "data"
    files = {p.stem: p for p in folder.iterdir() if p.stem in HELD_OUT and p.suffix in (".png", ".jpg")}
    learn = importlib.util.find_spec("sklearn")
    if learn is not None and learn.origin is not None:
        photos = Path(learn.origin).parent / "datasets" / "images"
        files |= {name: photos / f"{name}.jpg" for name in ("china", "flower")}
    found: dict[str, Rgb] = {}
    for name, file in sorted(files.items()):
        whole = cv2.imread(str(file), cv2.IMREAD_COLOR)
        if whole is None:
            continue
        side = min(SIDE, *whole.shape[:2])
        top, left = (whole.shape[0] - side) // 2, (whole.shape[1] - side) // 2
        middle = cv2.cvtColor(whole[top : top + side, left : left + side], cv2.COLOR_BGR2RGB)
        found[name] = np.asarray(
            cv2.resize(middle, None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC), np.uint8
        )
    return found


def best_gaussians(scan: Rgb, truth: NDArray[np.float64], cell: float) -> tuple[float, float]:
    """The best PSNR of a gaussian on sRGB numbers, and of one in linear light."""
    numbers, light = scan.astype(np.float32), to_light(scan / 255).astype(np.float32)
    in_srgb, in_light = [], []
    for share in SHARES:
        in_srgb.append(psnr(cv2.GaussianBlur(numbers, (0, 0), share * cell), truth))
        mean = np.clip(cv2.GaussianBlur(light, (0, 0), share * cell), 0, 1)
        in_light.append(psnr(to_signal(mean) * 255, truth))
    return max(in_srgb), max(in_light)


def timed(work: Callable[[], object]) -> float:
    """Seconds that some work takes."""
    start = perf_counter()
    work()
    return perf_counter() - start


def main() -> None:
    cv2.setNumThreads(1)
    print(
        f"{'PSNR, dB':30}{'sRGB':>7}{'light':>7}{'ours':>7}{'+sRGB':>7}{'+light':>7}{'dots':>7}{'lpi off':>9}"
    )
    over_srgb, over_light, sunk = [], [], []
    for lpi in (85, 133, 150):
        for i, (name, rgb) in enumerate(pictures().items()):
            scan, truth = printed(rgb, lpi, seed=i)
            found = screens(scan)
            if not found:
                print(f"{name} at {lpi} lpi: no screen found")
                over_srgb.append(-99.0)
                over_light.append(-99.0)
                continue
            ours = descreen(scan, found, workers=1)
            srgb, light = best_gaussians(scan, truth, 600 / lpi)
            mine = psnr(ours, truth)
            drop = min(dot_power(scan, s) - dot_power(ours, s) for s in found)
            off = max(abs(600 / s.cell / lpi - 1) for s in found)
            over_srgb.append(mine - srgb)
            over_light.append(mine - light)
            sunk.append(drop)
            print(
                f"{f'{name}, {lpi} lpi, {len(found)} screens':30}{srgb:7.2f}{light:7.2f}{mine:7.2f}"
                f"{mine - srgb:+7.2f}{mine - light:+7.2f}{-drop:7.1f}{off:9.2%}"
            )
    for words, values in (
        ("dB over the best sRGB gaussian", over_srgb),
        ("dB over the best linear-light gaussian", over_light),
        ("dB that dots sink by", sunk),
    ):
        print(f"{words}: median {np.median(values):+.2f}, least {min(values):+.2f}")
    big = np.tile(scan, (4, 6, 1))[:2000, :3000]
    took = timed(lambda: descreen(big, found, workers=1))
    part, none = big[:500, :750], np.zeros(big.shape[:2])
    means = timed(lambda: cv2.fastNlMeansDenoisingColored(part, None, 10, 10, 5, 15)) * big.size / part.size
    search = timed(lambda: best_gaussians(big, np.dstack([none] * 3), 600 / lpi))
    print(
        f"6 megapixels, one thread: {took:.1f} s; OpenCV's non-local means {means:.1f} s; "
        f"the search for both best gaussians {search:.1f} s"
    )


if __name__ == "__main__":
    main()
