"""Pictures whose true transparency is known: things laid over photographs and textures that packages carry.

Composed in linear light, as a lens does; a little noise and 8 bits, as a scanner has. Each thing comes with a
rough loop, drawn around it at a distance, as a hurried hand would.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple

import cv2
import numpy as np
import skimage
from numpy.typing import NDArray

from splitpin.cutout.loop import filled
from splitpin.measure.light import to_light, to_signal

Floats = NDArray[Any]
SHARP = 4
"""Shapes are drawn this many times finer and averaged."""
PHOTOS = ("coffee", "astronaut", "rocket", "grass", "brick", "gravel", "motorcycle_left", "hubble_deep_field")
FRONTS = ("brick", "ihc", "gravel", "moon", "coins", "retina", "page", "grass", "astronaut", "coffee")
STAMPS = "SPLITPIN_STAMPS"
"""The variable that names a folder of transparent photographs (Debian: tuxpaint-stamps-default)."""
CHOSEN = (
    "animals/birds",
    "animals/mammals",
    "plants/flowers",
    "food/fruit",
    "animals/insects",
)


class Truth(NamedTuple):
    """A picture and what is known of it."""

    name: str
    kind: str
    rgb: NDArray[np.uint8]
    alpha: Floats
    """0..1."""
    light: Floats
    """The thing's own colours, linear light."""
    loop: list[tuple[float, float]]


@cache
def photo(name: str) -> NDArray[np.uint8]:
    """A photograph of scikit-image's wheel, RGB."""
    folder = Path(skimage.__file__).parent / "data"
    path = next(folder.glob(f"{name}.*"))
    read = cv2.imdecode(np.frombuffer(path.read_bytes(), np.uint8), cv2.IMREAD_COLOR)
    if read is None:
        raise OSError(path)
    return np.asarray(cv2.cvtColor(read, cv2.COLOR_BGR2RGB), np.uint8)


def ground(name: str, w: int, h: int, rng: np.random.Generator) -> Floats:
    """A photograph enlarged to a size, linear light; textures are laid as tiles, mirrored."""
    p = photo(name)
    if name in ("grass", "brick", "gravel"):
        tile: Floats = np.vstack([np.hstack([p, p[:, ::-1]]), np.hstack([p[::-1], p[::-1, ::-1]])])
        scale = max(1.0, w / 1400)
        tile = cv2.resize(tile, None, fx=scale, fy=scale, interpolation=cv2.INTER_CUBIC)
        tile = np.tile(tile, (h // tile.shape[0] + 1, w // tile.shape[1] + 1, 1))[:h, :w]
        tint = rng.uniform(0.6, 1.0, 3)
        return np.asarray(to_light(tile / 255.0) * tint)
    k = max(w / p.shape[1], h / p.shape[0]) * rng.uniform(1.0, 1.3)
    big = cv2.resize(p, None, fx=k, fy=k, interpolation=cv2.INTER_CUBIC)
    y, x = rng.integers(0, big.shape[0] - h + 1), rng.integers(0, big.shape[1] - w + 1)
    return np.asarray(to_light(big[y : y + h, x : x + w] / 255.0))


def _radius(rng: np.random.Generator, waves: int, rough: float) -> Callable[[Floats], Floats]:
    parts = [(n, rough / n * rng.normal(), rng.uniform(0, 6.28)) for n in range(2, waves)]
    return lambda t: np.asarray(1.0 + sum(a * np.sin(n * t + p) for n, a, p in parts))


def _fill(mask: Floats, points: Floats) -> None:
    cv2.fillPoly(mask, [np.rint(points).astype(np.int32)], 255)


def _stroke(mask: Floats, points: Floats, thick: Floats) -> None:
    for (a, b), t in zip(pairwise(points), thick, strict=False):
        cv2.line(mask, np.rint(a).astype(int).tolist(), np.rint(b).astype(int).tolist(), 255, max(1, int(t)))


def shape(kind: str, w: int, h: int, rng: np.random.Generator) -> Floats:
    """The coverage of a thing, 0..1."""
    s = SHARP if w * h < 3e6 else 2
    mask = np.zeros((h * s, w * s), np.uint8)
    c = np.array([w * s / 2, h * s / 2])
    r = min(w, h) * s * 0.27
    unit = s * np.sqrt(w * h / 1e6)  # one pixel of a 1 MP picture
    if kind == "paper":
        t = np.sort(rng.uniform(0, 2 * np.pi, rng.integers(9, 22)))
        d = r * rng.uniform(0.7, 1.3, len(t))
        _fill(mask, c + np.stack([np.cos(t) * d, np.sin(t) * d], 1))
    else:
        t = np.linspace(0, 2 * np.pi, 720, endpoint=False)
        d = (
            r
            * _radius(rng, 9, 0.25 if kind == "round" else 0.12)(t)
            * (0.75 if kind in ("hairy", "thin") else 1)
        )
        _fill(mask, c + np.stack([np.cos(t) * d, np.sin(t) * d], 1))
        if kind == "hairy":
            for _ in range(520):
                a = rng.uniform(0, 2 * np.pi)
                d0 = d[int(a / 2 / np.pi * 720) % 720]
                length, bend = r * rng.uniform(0.08, 0.34), rng.normal() * 0.7
                u = np.linspace(0, 1, 14)
                way = a + bend * u * 0.4
                line = c + np.stack([np.cos(way), np.sin(way)], 1) * (d0 * 0.96 + length * u)[:, None]
                _stroke(mask, line, (1 - u) * unit * rng.uniform(1.0, 2.6))
        if kind == "thin" and rng.uniform() < 0.5:
            for a in np.linspace(0, 2 * np.pi, rng.integers(8, 15)) + rng.normal() * 0.2:  # whiskers
                u = np.linspace(0, 1, 24)
                way = a + rng.normal() * 0.4 * u**2
                line = c + np.stack([np.cos(way), np.sin(way)], 1) * (r * 0.6 + r * 0.75 * u)[:, None]
                _stroke(mask, line, (1.3 - u) * unit * rng.uniform(2.2, 4.0))
        elif kind == "thin":  # a wheel
            mask[:] = 0
            cv2.circle(mask, c.astype(int).tolist(), int(r), 255, int(unit * 9))
            cv2.circle(mask, c.astype(int).tolist(), int(r * 0.18), 255, -1)
            for a in np.linspace(0, 2 * np.pi, rng.integers(7, 13)):
                _stroke(mask, np.stack([c, c + r * np.array([np.cos(a), np.sin(a)])]), np.array([unit * 4.0]))
    soft = {"paper": 0.6, "round": 1.4, "hairy": 0.6, "thin": 0.6}.get(kind, 0.8)
    fine = cv2.GaussianBlur(mask.astype(np.float32) / 255, (0, 0), soft * unit)
    return np.asarray(cv2.resize(fine, (w, h), interpolation=cv2.INTER_AREA), np.float64)


def rough_loop(alpha: Floats, rng: np.random.Generator) -> list[tuple[float, float]]:
    """Some twenty points around a thing, off by a few hundredths of the picture."""
    h, w = alpha.shape
    size = np.sqrt(w * h)
    ys, xs = np.nonzero(alpha > 0.02)
    hull = cv2.convexHull(np.stack([xs, ys], 1).astype(np.int32))[:, 0].astype(np.float64)
    mid = hull.mean(0)
    t = np.linspace(0, 2 * np.pi, 20, endpoint=False)
    points = []
    for a in t:
        way = np.array([np.cos(a), np.sin(a)])
        reach = ((hull - mid) @ way).max()
        p = mid + way * (reach + size * rng.uniform(0.015, 0.05)) / np.cos(np.pi / 20)
        points.append((float(np.clip(p[0], 0, w)), float(np.clip(p[1], 0, h))))
    return points


def composed(
    name: str, kind: str, alpha: Floats, thing: Floats, behind: Floats, rng: np.random.Generator
) -> Truth:
    """The thing over its ground, seen by a camera."""
    light = alpha[..., None] * thing + (1 - alpha[..., None]) * behind
    signal = to_signal(np.clip(light, 0, 1)) * 255 + rng.normal(0, 1.2, light.shape)
    rgb = np.clip(np.rint(signal), 0, 255).astype(np.uint8)
    return Truth(name, kind, rgb, alpha, thing, rough_loop(alpha, rng))


def printed(fine: Floats, behind: Floats, rng: np.random.Generator) -> Floats:
    """A photograph printed in one ink on coloured paper that a person can tell from what is behind it."""
    grey = to_signal(np.clip(fine, 0, 1)).mean(2, keepdims=True)
    while True:
        ink, paper = rng.uniform(0.0, 1.0, 3), rng.uniform(0.1, 1.0, 3)
        whole = to_light(np.clip(ink * 0.7 * (1 - grey) + paper * grey, 0, 1))
        if np.abs(to_signal(whole.mean((0, 1))) - to_signal(behind)).max() > 0.25:
            return np.asarray(whole)


def one(kind: str, number: int, megapixels: float) -> Truth:
    """One picture of a kind; the same number gives the same picture."""
    rng = np.random.default_rng([number, sum(map(ord, kind))])
    w = int(np.sqrt(megapixels * 1e6 * 4 / 3))
    h = int(megapixels * 1e6 / w)
    under, over = (
        PHOTOS[(number * 3 + len(kind)) % len(PHOTOS)],
        FRONTS[(number * 7 + len(kind)) % len(FRONTS)],
    )
    if under == over:
        over = "ihc"
    behind = ground(under, w, h, rng)
    drawn = {"low": ("paper", "round", "hairy")[number % 3]}.get(kind, kind)
    alpha = shape(drawn, w, h, rng)
    if kind == "low":
        thing = ground(over, w, h, rng)
        near = alpha > 0.5
        here = to_signal(behind[near].mean(0)) + rng.choice([-1, 1]) * rng.uniform(0.09, 0.16)
        fine = to_signal(np.clip(thing, 0, 1))
        thing = to_light(np.clip((fine - fine.mean((0, 1))) * 0.35 + here, 0.02, 0.98))
    elif kind == "hairy":
        fur = cv2.GaussianBlur(rng.normal(size=(h, w)).astype(np.float32), (0, 0), 2)[..., None]
        thing = np.clip(rng.uniform(0.02, 0.5, 3) * (1 + 2.5 * fur), 0, 1)
    else:
        thing = printed(ground(over, w, h, rng), behind[alpha > 0.5].mean(0), rng)
    size = "" if megapixels == 1 else f"-{megapixels:g}MP"
    return composed(f"{kind}-{number:02d}{size}", kind, alpha, thing, behind, rng)


def stamps(most: int) -> Iterator[Truth]:
    """Transparent photographs of a package, where they are installed."""
    folder = Path(os.environ.get(STAMPS, "/usr/share/tuxpaint/stamps"))
    files = [
        f
        for c in CHOSEN
        for f in sorted((folder / c).rglob("*.png"))
        if "mirror" not in f.stem and "cartoon" not in f.as_posix()
    ]
    usable = []
    for f in files:
        rgba = cv2.imdecode(np.frombuffer(f.read_bytes(), np.uint8), cv2.IMREAD_UNCHANGED)
        if rgba is not None and rgba.ndim == 3 and rgba.shape[2] == 4 and min(rgba.shape[:2]) >= 250:
            usable.append(f)
    for number, f in enumerate(usable[:: max(1, len(usable) // most)][:most]):
        rng = np.random.default_rng(900 + number)
        rgba = cv2.imdecode(np.frombuffer(f.read_bytes(), np.uint8), cv2.IMREAD_UNCHANGED)
        if rgba is None:
            continue
        w, h = 1154, 866
        k = min(600 / rgba.shape[0], 800 / rgba.shape[1])
        a = rgba[..., 3:].astype(np.float32) / 255
        light = to_light(rgba[..., 2::-1] / 255.0) * a
        both = cv2.resize(
            np.dstack([light, a]).astype(np.float32),
            None,
            fx=k,
            fy=k,
            interpolation=cv2.INTER_AREA if k < 1 else cv2.INTER_CUBIC,
        )
        both = np.clip(both, 0, 1)
        y, x = (h - both.shape[0]) // 2, (w - both.shape[1]) // 2
        whole = np.zeros((h, w, 4))
        whole[y : y + both.shape[0], x : x + both.shape[1]] = both
        alpha = whole[..., 3]
        thing = whole[..., :3] / np.maximum(alpha, 1e-3)[..., None]
        behind = ground(PHOTOS[(number * 3) % len(PHOTOS)], w, h, rng)
        yield composed(f"stamp-{f.stem}", "stamp", alpha, np.clip(thing, 0, 1), behind, rng)


KINDS = ("paper", "round", "hairy", "thin", "low")


def everything(count: int | None = None) -> Iterator[Truth]:
    """The whole set: 8 of each kind at 1 MP, some at 4 and 12, and transparent photographs if any.

    With ``count`` so many of each kind, at 1 MP only.
    """
    for kind in KINDS:
        for n in range(8 if count is None else count):
            yield one(kind, n, 1.0)
    yield from stamps(12 if count is None else count)
    if count is None:
        for kind in KINDS:
            yield one(kind, 20, 4.0)
        for kind in ("paper", "hairy", "thin"):
            yield one(kind, 30, 12.0)


def grabcut(t: Truth, rim: float) -> Floats:
    """The peer: five rounds at full size, feathered by a Gaussian of 1.5 pixels."""
    inside = filled(t.loop, t.alpha.shape)
    marks = np.where(inside, cv2.GC_PR_FGD, cv2.GC_BGD).astype(np.uint8)
    if rim:
        deep = cv2.distanceTransform(inside.astype(np.uint8), cv2.DIST_L2, 5)
        marks[inside & (deep < rim * np.sqrt(inside.sum()))] = cv2.GC_PR_BGD
    cv2.setRNGSeed(1)
    cv2.grabCut(t.rgb, marks, None, np.zeros((1, 65)), np.zeros((1, 65)), 5, cv2.GC_INIT_WITH_MASK)  # type: ignore[call-overload]
    return cv2.GaussianBlur((marks & 1).astype(np.float32), (0, 0), 1.5)


def band_of(t: Truth, by: int = 2) -> NDArray[np.bool_]:
    """Where the true coverage lies strictly between 0 and 1, and so many pixels beside that."""
    edge = ((t.alpha > 1 / 255) & (t.alpha < 254 / 255)).astype(np.uint8)
    return np.asarray(cv2.dilate(edge, np.ones((2 * by + 1, 2 * by + 1), np.uint8)) > 0)
