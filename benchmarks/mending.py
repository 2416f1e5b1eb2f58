"""How well and how fast holes are mended, against OpenCV's and scikit-image's inpainting in the same run.

Run: ``python benchmarks/mending.py [--pictures FOLDER] [--more FOLDER] [--big]``. Pictures are those that
scikit-image carries in its wheel and some drawn here; ``--more`` adds the pictures of a folder (scikit-
learn's china and flower, for example); ``--pictures`` writes what was mended, beside the hole and the
truth. OpenCV's shift-map is measured where its contributed modules are installed. Methods were tuned on
the pictures marked t; medians are over the others.

PSNR and SSIM (Wang 2004 by scikit-image: Gaussian weights, sigma 1.5, no sample covariance) are means
inside the hole. The texture distance compares how strong differences between neighbours are inside the
hole, in the mended picture and in the truth: for grey levels g = .299 R + .587 G + .114 B, as they are
and after a Gaussian of sigma 1.2, the histogram H of log2(1 + |gradient|), central differences doubled,
has 32 bins over 0..8; the distance is the mean over both scales of ½ Σ |H − H'|: 0 for the same texture,
1 when nothing is shared. Blur scores well in SSIM, so it does not decide.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from time import perf_counter, process_time

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image
from skimage import data
from skimage.metrics import structural_similarity
from skimage.restoration import inpaint_biharmonic

from splitpin.cutout.mend import mend

Rgb = NDArray[np.uint8]
Mask = NDArray[np.bool_]
Method = Callable[[Rgb, Mask], Rgb]

TUNED = {"brick", "gravel", "grass", "chelsea", "coffee", "rocket", "astronaut", "china", "flower"}
NAMES = (
    "brick", "gravel", "grass", "chelsea", "coffee", "rocket", "astronaut", "camera", "moon",
    "hubble_deep_field", "retina", "immunohistochemistry", "coins",
)  # fmt: skip
SHARES = (0.05, 0.15)


def pictures(more: Path | None) -> dict[str, Rgb]:
    found = {name: photograph(name) for name in NAMES}
    found["hubble_deep_field"] = found["hubble_deep_field"][:512, :700].copy()
    found["retina"] = found["retina"][400:900, 400:1000].copy()
    for name, make in (("wall", wall), ("weave", weave), ("wood", wood), ("sky", sky)):
        found[name] = make(np.random.default_rng(11))
    if more is not None:
        for file in sorted(more.glob("*.jpg")):
            found[file.stem] = np.asarray(Image.open(file).convert("RGB"))
    return found


def photograph(name: str) -> Rgb:
    picture: NDArray[np.uint8] = getattr(data, name)()
    return np.ascontiguousarray(np.dstack([picture] * 3) if picture.ndim == 2 else picture[..., :3])


def drawn(values: NDArray[np.float64], dark: tuple[int, ...], light: tuple[int, ...]) -> Rgb:
    mixed = values[..., None] * np.array(light) + (1 - values[..., None]) * np.array(dark)
    return np.asarray(np.clip(np.rint(mixed), 0, 255), np.uint8)


def noise(
    rng: np.random.Generator, shape: tuple[int, int], across: float, down: float
) -> NDArray[np.float64]:
    field = cv2.GaussianBlur(rng.normal(size=shape), (0, 0), sigmaX=across, sigmaY=down)
    return np.asarray(field / field.std())


def wall(rng: np.random.Generator) -> Rgb:
    """Level courses, each brick of its own shade, with grain."""
    y, x = np.mgrid[:480, :640]
    row = y // 24
    along = x + 32 * (row % 2)
    shade = rng.uniform(0.3, 0.6, (20, 12))[row, along // 64]
    mortar = (y % 24 < 4) | (along % 64 < 4)
    return drawn(
        np.where(mortar, 0.9, shade) + 0.03 * rng.normal(size=y.shape), (60, 20, 10), (230, 210, 190)
    )


def weave(rng: np.random.Generator) -> Rgb:
    """Cloth."""
    y, x = np.mgrid[:480, :640]
    over = (x // 8 + y // 8) % 2
    thread = np.where(over, np.sin(np.pi * (x % 8) / 8), np.sin(np.pi * (y % 8) / 8))
    return drawn(0.2 + 0.5 * thread + 0.06 * noise(rng, y.shape, 2, 2), (40, 30, 60), (220, 210, 180))


def wood(rng: np.random.Generator) -> Rgb:
    """Boards with long grain and straight joints."""
    y, _ = np.mgrid[:480, :640]
    grain = 0.5 + 0.1 * noise(rng, y.shape, 60, 1) + 0.03 * rng.normal(size=y.shape)
    return drawn(np.where(y % 80 < 3, 0.05, grain), (50, 25, 10), (220, 160, 100))


def sky(rng: np.random.Generator) -> Rgb:
    """A tone that changes slowly, and film grain."""
    y, x = np.mgrid[:480, :640]
    slope = 0.2 + 0.5 * y / 480 + 0.15 * x / 640
    return drawn(slope + 0.03 * noise(rng, y.shape, 0.8, 0.8), (40, 70, 130), (240, 240, 235))


def hole_in(shape: tuple[int, ...], share: float, seed: int) -> Mask:
    """A lobed hole about the middle that covers a share of the picture."""
    height, width = shape[:2]
    rng = np.random.default_rng(seed)
    lobes = noise(rng, (height, width), min(height, width) / 25, min(height, width) / 25)
    y, x = np.mgrid[:height, :width]
    middle = rng.uniform(0.4, 0.6, 2)
    far = np.hypot(y / height - middle[0], x / width - middle[1]) / 0.25 + 0.15 * lobes
    return np.asarray(far < np.quantile(far, share))


def texture_distance(a: Rgb, b: Rgb, hole: Mask) -> float:
    """See the head of this file."""
    found = []
    for sigma in (0.0, 1.2):
        shares = []
        for picture in (a, b):
            sharp = picture.astype(np.float32) @ np.array([0.299, 0.587, 0.114], np.float32)
            grey = cv2.GaussianBlur(sharp, (0, 0), sigma) if sigma else sharp
            steep = np.hypot(cv2.Sobel(grey, -1, 1, 0, ksize=1), cv2.Sobel(grey, -1, 0, 1, ksize=1))[hole]
            counts, _ = np.histogram(np.log2(1 + steep), 32, (0, 8))
            shares.append(counts / counts.sum())
        found.append(0.5 * np.abs(shares[0] - shares[1]).sum())
    return float(np.mean(found))


def measured(truth: Rgb, mended: Rgb, hole: Mask) -> tuple[float, float, float]:
    """PSNR in dB, SSIM and texture distance inside the hole."""
    off = (truth.astype(float) - mended)[hole]
    psnr = 10 * np.log10(255**2 / max((off**2).mean(), 1e-9))
    _, alike = structural_similarity(  # type: ignore[no-untyped-call]
        truth, mended, channel_axis=2, data_range=255, gaussian_weights=True, sigma=1.5,
        use_sample_covariance=False, full=True,
    )  # fmt: skip
    return float(psnr), float(alike[hole].mean()), texture_distance(truth, mended, hole)


def by_opencv(how: int) -> Method:
    return lambda rgb, hole: np.asarray(cv2.inpaint(rgb, hole.astype(np.uint8), 3, how), np.uint8)


def by_biharmonic(rgb: Rgb, hole: Mask) -> Rgb:
    filled = inpaint_biharmonic(rgb, hole, channel_axis=2, split_into_regions=True)
    return np.asarray(np.clip(np.rint(filled * 255), 0, 255), np.uint8)


def by_shift_map(rgb: Rgb, hole: Mask) -> Rgb:
    xphoto = getattr(cv2, "xphoto")  # noqa: B009 -- the contributed modules are in no type stub
    lab = cv2.cvtColor(rgb, cv2.COLOR_RGB2Lab)
    out = np.zeros_like(lab)
    xphoto.inpaint(lab, np.where(hole, 0, 255).astype(np.uint8), out, xphoto.INPAINT_SHIFTMAP)
    mended = cv2.cvtColor(out, cv2.COLOR_Lab2RGB)
    mended[~hole] = rgb[~hole]
    return np.asarray(mended, np.uint8)


def emptied(rgb: Rgb, hole: Mask) -> Rgb:
    out = rgb.copy()
    out[hole] = (255, 0, 255)
    return out


def quality(found: dict[str, Rgb], methods: dict[str, Method], folder: Path | None) -> None:
    print(f"{'picture':20}{'hole':>5}", *(f"{name + ': dB, SSIM, texture':>30}" for name in methods))
    table: dict[tuple[str, float], list[tuple[float, float, float]]] = {}
    seconds: dict[str, list[float]] = {name: [] for name in methods}
    for number, (name, rgb) in enumerate(found.items()):
        for share in SHARES:
            hole = hole_in(rgb.shape, share, 100 * number + round(100 * share))
            line, shown = [], [emptied(rgb, hole), rgb]
            for method, function in methods.items():
                start = process_time()
                mended = function(emptied(rgb, hole), hole)
                seconds[method].append((process_time() - start) / rgb[..., 0].size * 1e6)
                if method == "ours":
                    assert np.array_equal(mended[~hole], rgb[~hole])
                    shown.append(mended)
                values = measured(rgb, mended, hole)
                if name not in TUNED:
                    table.setdefault((method, share), []).append(values)
                line.append(f"{values[0]:15.1f}{values[1]:7.3f}{values[2]:8.3f}")
            print(f"{name + (' t' if name in TUNED else ''):20}{share:5.0%}", *line, flush=True)
            if folder is not None:
                cv2.imwrite(
                    str(folder / f"{name}-{share:.0%}.png".replace("%", "")), np.hstack(shown)[..., ::-1]
                )
    print("medians of those not tuned on")
    for share in SHARES:
        for method in methods:
            psnr, ssim, texture = np.median(table[method, share], axis=0)
            ours = np.median(table["ours", share], axis=0)[2]
            print(
                f"  {share:4.0%} {method:12} {psnr:5.1f} dB  SSIM {ssim:.3f}  texture {texture:.3f}"
                f"  ours ÷ this {ours / texture:.2f}  {np.median(seconds[method]):.2f} s of processor a MP"
            )


def speed(methods: dict[str, Method], sizes: tuple[int, ...]) -> None:
    print("one photograph, hole of 5 %")
    for width in sizes:
        rgb = cv2.resize(photograph("coffee"), (width, width * 3 // 4), interpolation=cv2.INTER_CUBIC)
        grain = np.random.default_rng(0).normal(0, 5, rgb.shape)
        rgb = np.clip(rgb + grain, 0, 255).astype(np.uint8)
        small = hole_in((300, 400), 0.05, 3).astype(np.uint8)
        hole = cv2.resize(small, (width, width * 3 // 4), interpolation=cv2.INTER_NEAREST) > 0
        spans = {}
        for name, function in methods.items():
            if name in ("biharmonic", "shift-map") and width > 1200:
                continue
            start, busy = perf_counter(), process_time()
            function(rgb, hole)
            spans[name] = (perf_counter() - start, process_time() - busy)
        ours = spans["ours"][1]
        for name, (wall_clock, busy) in spans.items():
            print(
                f"  {rgb[..., 0].size / 1e6:5.1f} MP {name:12}{wall_clock:7.2f} s on the clock,"
                f"{busy:7.2f} s of processor, ours ÷ this {ours / busy:8.3f}",
                flush=True,
            )


def main() -> None:
    words = argparse.ArgumentParser()
    words.add_argument("--pictures", type=Path)
    words.add_argument("--more", type=Path)
    words.add_argument("--big", action="store_true", help="also biharmonic and 12 megapixels")
    asked = words.parse_args()
    if asked.pictures is not None:
        asked.pictures.mkdir(parents=True, exist_ok=True)
    methods: dict[str, Method] = {
        "ours": lambda rgb, hole: mend(rgb, hole),
        "Telea": by_opencv(cv2.INPAINT_TELEA),
        "NS": by_opencv(cv2.INPAINT_NS),
    }
    if hasattr(cv2, "xphoto"):
        methods["shift-map"] = by_shift_map
    small = photograph("chelsea")[:160, :200].copy()
    mend(small, hole_in(small.shape, 0.05, 1))  # compiled before anything is timed
    quality(pictures(asked.more), methods, asked.pictures)
    print("biharmonic, on a small picture (chelsea, 200 × 160, 5 %)")
    hole = hole_in(small.shape, 0.05, 1)
    for name, function in {**methods, "biharmonic": by_biharmonic}.items():
        psnr, ssim, texture = measured(small, function(emptied(small, hole), hole), hole)
        print(f"  {name:12} {psnr:5.1f} dB  SSIM {ssim:.3f}  texture {texture:.3f}")
    speed(methods, (1155, 4000) if asked.big else (1155,))


if __name__ == "__main__":
    main()
