"""How well and how fast things are cut out from a rough loop alone, against two peers in the same run.

Peers: OpenCV's GrabCut at full size with a feathered edge (once as its manual uses it, once with the rim
that we give it), and closed-form matting (Levin 2008) at full size with the trimap that we found: once our
own solver in linear light, once pymatting's, in sRGB as it is published and used (up to 2.5 megapixels:
beyond them it takes minutes).

Measures, over the band where the true coverage lies strictly between 0 and 1, widened by 2 pixels:
MSE, the mean of (α - true)², times 1000; SAD, the sum of |α - true|, in thousands (Rhemann 2009); the rim's
brightness, the mean over the band of sRGB luma on black less that of the truth, in 8-bit steps.

Run: ``python benchmarks/cutting.py [--count N] [--sheet WORST.png]``; SPLITPIN_STAMPS names a folder of
transparent photographs.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from time import perf_counter
from typing import Any, NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray
from pymatting import estimate_alpha_cf

from splitpin.cutout.colour import colours
from splitpin.cutout.cut import Cutting
from splitpin.cutout.matte import matte
from splitpin.cutout.recipe import Recipe, Stroke
from splitpin.cutout.soft import found, window
from splitpin.measure.light import to_light, to_signal

sys.path.insert(0, str(Path(__file__).parents[1]))
from tests.truth import Truth, band_of, everything, grabcut

Floats = NDArray[Any]
PEERS = ("grabcut", "with rim", "closed form", "pymatting")
MOST = 2.5e6
"""Pixels up to which pymatting is asked."""
LUMA = np.array([0.2126, 0.7152, 0.0722])


class Row(NamedTuple):
    """One picture, measured."""

    truth: str
    kind: str
    mse: dict[str, float]
    sad: dict[str, float]
    rim: dict[str, float]
    seconds: dict[str, float]
    tile: NDArray[np.uint8]


def measured(t: Truth) -> Row:
    """All of one picture."""
    recipe = Recipe(loop=t.loop)
    seconds: dict[str, float] = {}

    def timed(name: str, work: Any) -> Any:
        begin = perf_counter()
        done = work()
        seconds[name] = perf_counter() - begin
        return done

    table = Cutting(t.rgb)
    timed("preview", lambda: table.preview(recipe))
    mid = np.argwhere(t.alpha > 0.99).mean(0)[::-1]
    stroke = Stroke(points=[tuple(mid.tolist()), tuple((mid + 20).tolist())], radius=8.0)
    timed("stroke", lambda: table.preview(recipe.model_copy(update={"keep": [stroke]})))
    piece = timed("final", lambda: Cutting(t.rgb).cut(recipe))
    x, y, w, h = piece.box
    rgba = np.zeros((*t.alpha.shape, 4), np.uint8)
    rgba[y : y + h, x : x + w] = piece.rgba
    ours = rgba[..., 3] / 255.0

    seen = window(t.rgb, t.loop)
    soft = found(seen, [], [])
    high, wide = seen.rgb.shape[:2]
    known = np.kron(soft.known, np.ones((seen.factor, seen.factor), np.float32))[:high, :wide]
    part = (seen.rgb / 255.0).astype(np.float32)
    closed = np.zeros(t.alpha.shape)
    there = (slice(seen.top, seen.top + high), slice(seen.left, seen.left + wide))
    light = to_light(part).astype(np.float32)
    closed[there] = timed("closed form", lambda: matte(light, known))
    published = np.zeros(t.alpha.shape)
    asked = known.size <= MOST and np.count_nonzero((known > 0) & (known < 1)) > 0
    if asked:
        trimap = known.astype(np.float64)
        published[there] = timed("pymatting", lambda: estimate_alpha_cf(part.astype(np.float64), trimap))
    cut = timed("grabcut", lambda: grabcut(t, 0.0))
    alphas = {
        "ours": ours,
        "grabcut": cut,
        "with rim": grabcut(t, 0.07),
        "closed form": closed,
    } | ({"pymatting": published} if asked else {})

    band = band_of(t)
    mse = {k: 1e3 * float(((a - t.alpha)[band] ** 2).mean()) for k, a in alphas.items()}
    sad = {k: 1e-3 * float(np.abs((a - t.alpha)[band]).sum()) for k, a in alphas.items()}
    own = to_light(rgba[..., :3][band] / 255.0)
    true = _on_black(t.light[band], t.alpha[band])
    rim = {"ours": float(abs((_on_black(own, ours[band]) - true).mean()))}
    plain = _on_black(to_light(t.rgb[band] / 255.0), cut[band])
    rim["grabcut"] = float(abs((plain - true).mean()))
    near = band_of(t, 4)
    mixed = near & (t.alpha > 0.1) & (t.alpha < 0.95)
    thing, _ = colours(light, t.alpha[there].astype(np.float32))
    off = to_signal(thing) - to_signal(np.clip(t.light[there], 0, 1))
    rim["colour, true alpha"] = 255 * float(np.abs(off[mixed[there]]).mean())
    bare = to_signal(light) - to_signal(np.clip(t.light[there], 0, 1))
    rim["colour, none"] = 255 * float(np.abs(bare[mixed[there]]).mean())
    return Row(t.name, t.kind, mse, sad, rim, seconds, _tile(t, known, there, alphas, rgba))


def _on_black(light: Floats, alpha: Floats) -> Floats:
    return np.asarray(255 * to_signal(np.clip(light, 0, 1) * alpha[:, None]) @ LUMA)


def _tile(t: Truth, known: Floats, there: Any, alphas: dict[str, Floats], rgba: Any) -> NDArray[np.uint8]:
    def grey(a: Floats) -> Floats:
        return np.repeat(a[there][..., None], 3, 2) * 255

    trimap = np.where(
        ((known > 0) & (known < 1))[..., None], t.rgb[there] / 2 + [110, 0, 0], 255 * known[..., None]
    )
    a = rgba[there][..., 3:] / 255.0
    light = to_light(rgba[there][..., :3] / 255.0) * a
    black = to_signal(light) * 255
    white = to_signal(light + 1 - a) * 255
    row = [
        t.rgb[there],
        trimap,
        grey(alphas["ours"]),
        grey(t.alpha),
        grey(alphas["closed form"]),
        black,
        white,
    ]
    tiles = [cv2.resize(np.asarray(x, np.float32), (300, 300), interpolation=cv2.INTER_AREA) for x in row]
    return np.hstack(tiles).astype(np.uint8)


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--count", type=int, help="so many of each kind, at 1 megapixel only")
    parser.add_argument("--sheet", type=Path)
    asked = parser.parse_args()
    rows: list[Row] = []
    for number, t in enumerate(everything(asked.count)):
        if number == 0:
            measured(t)  # compiles
        r = measured(t)
        rows.append(r)
        words = " ".join(f"{k} {v:7.1f}" for k, v in r.mse.items())
        print(
            f"{r.truth:28s} {words}  rim {r.rim['ours']:5.2f}  final {r.seconds['final']:.2f} s", flush=True
        )
    print("\nmedians; x: how many times smaller ours is; rim and colour in 8-bit steps")
    kinds = list(dict.fromkeys(r.kind for r in rows))
    parts = {kind: [r for r in rows if r.kind == kind] for kind in kinds}
    # The stamps were cut by hand along dark rims of their old ground: a true edge differs from theirs.
    parts |= {"known": [r for r in rows if r.kind != "stamp"], "all": rows}
    for kind, some in parts.items():
        print(f"{kind:6s} n={len(some):2d}", end=" ")
        for peer in ("ours", *PEERS):
            had = [r for r in some if peer in r.mse]
            if not had:
                continue
            m = np.median([r.mse[peer] for r in had])
            s = np.median([r.sad[peer] for r in had])
            print(f"{peer} {m:.1f} {s:.2f}", end=" ")
            if peer != "ours":
                x = np.median([r.mse[peer] / r.mse["ours"] for r in had])
                y = np.median([r.sad[peer] / r.sad["ours"] for r in had])
                print(f"(x{x:.2f} x{y:.2f})", end=" ")
        for key in rows[0].rim:
            print(f"| {key} {np.median([r.rim[key] for r in some]):.2f}", end=" ")
        print()
    print("\nseconds, median")
    for size in ("", "4MP", "12MP"):
        some = [r for r in rows if (size in r.truth if size else "MP" not in r.truth)]
        if some:
            words = " ".join(
                f"{k} {np.median([r.seconds.get(k, np.nan) for r in some]):.2f}" for k in rows[0].seconds
            )
            ratio = np.median([r.seconds["closed form"] / r.seconds["final"] for r in some])
            print(f"{size or '1MP':5s} {words} closed form ÷ final {ratio:.1f}")
    if asked.sheet:
        worst = [max((r for r in rows if r.kind == k), key=lambda r: r.mse["ours"]) for k in kinds]
        middle = [sorted((r for r in rows if r.kind == k), key=lambda r: r.mse["ours"]) for k in kinds]
        tiles = [r.tile for r in worst] + [m[len(m) // 2].tile for m in middle]
        cv2.imwrite(str(asked.sheet), np.vstack(tiles)[..., ::-1])


if __name__ == "__main__":
    main()
