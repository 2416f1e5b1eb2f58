"""Write the film folder of the example."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from importlib.resources import as_file, files
from pathlib import Path
from typing import NamedTuple

import numpy as np
from PIL import Image

from splitpin.example import card, cat, cup, garden, lids
from splitpin.example.board import BOARD
from splitpin.example.found import FOUND, found_path
from splitpin.example.paper import PX_PER_MM, Cutting, Picture
from splitpin.example.prints import CUTS, MENDED, PRINTS, stepped, write_cut, write_mended, write_png
from splitpin.example.sounds import SOUNDS, write_sound


class Making(NamedTuple):
    """How a cut-out is made that is not cut by a recipe."""

    make: Callable[[], Cutting]
    picture: str | None
    """The found picture that most of it was cut from."""
    px_per_mm: float = PX_PER_MM


def makings(pictures: dict[str, Picture]) -> dict[str, Making]:
    """Every cut-out of the film by name, but those that are made of prints by recipe."""
    chelsea, coffee = pictures["chelsea"], pictures["coffee"]
    grass, brick, gravel = pictures["grass"], pictures["brick"], pictures["gravel"]
    table = {
        "cat-head": Making(partial(cat.face, chelsea), "chelsea"),
        "cat-ear-left": Making(partial(cat.ear, chelsea, "left"), "chelsea"),
        "cat-ear-right": Making(partial(cat.ear, chelsea, "right"), "chelsea"),
        "cat-jaw": Making(partial(cat.jaw, chelsea), "chelsea"),
        "cat-whiskers": Making(cat.whiskers, None),
        "cat-body": Making(partial(cat.body, chelsea), "chelsea"),
        "cat-arm": Making(partial(cat.arm, chelsea), "chelsea"),
        "cat-paw": Making(partial(cat.paw, chelsea), "chelsea"),
        "cup-rim": Making(partial(cup.rim, coffee), "coffee"),
        "cup-front": Making(cup.front, None),
        "cup-handle": Making(cup.handle, None),
        "cup-moustache": Making(partial(cup.moustache, grass), "grass"),
        "saucer": Making(cup.saucer, None),
        "spoon": Making(partial(cup.spoon, coffee), "coffee"),
        "ring": Making(cup.ring, None),
        "garden": Making(partial(garden.backdrop, grass, 1300, 2300), "grass", 5.2),
        "hedge": Making(partial(garden.grass, grass, "hedge", 300, 2900, 0.80), "grass"),
        "wall": Making(partial(garden.wall, brick, gravel, 560, 2900, 130), "brick"),
        "grass": Making(partial(garden.grass, grass, "foreground", 300, 2900, 0.70, 0.72), "grass"),
        "title-1": Making(partial(card.title, 1), None),
        "title-2": Making(partial(card.title, 2), None),
    }
    table["cat-eyes-shut"] = Making(partial(lids.shut, chelsea), "chelsea")
    table |= {f"cat-eyes-{kind}": Making(partial(cat.eyes, chelsea, kind), "chelsea") for kind in cat.GAZES}
    table |= {f"cup-eyes-{kind}": Making(partial(cup.eyes, kind), None) for kind in cup.LOOKS}
    table |= {
        name: Making(partial(garden.cloud, name, points, height, width), None)
        for name, (height, width, points) in garden.CLOUDS.items()
    }
    return table


def write(folder: Path) -> None:
    """Write the film folder of *Exact Change*: pictures, cut-outs, characters, scenes, sounds.

    The same bytes every time.

    Parameters
    ----------
    folder
        Where to; made when it is not there. Files of the same names are written over.
    """
    with as_file(files("splitpin.example") / "film") as documents:
        shutil.copytree(documents, folder, dirs_exist_ok=True)
    for place in ("pictures", "cutouts", "sounds", "board"):
        (folder / place).mkdir(parents=True, exist_ok=True)
    pictures = {name: _bring(folder, name) for name in FOUND}
    # cutting, printing and packing let go of the interpreter's lock for most of their time
    with ThreadPoolExecutor(4) as hands:
        # what takes longest begins first
        jobs = [hands.submit(_write_print, folder, name, pictures) for name in reversed(PRINTS)]
        jobs += [hands.submit(_write_cutout, folder, n, m) for n, m in makings(pictures).items()]
        jobs += [hands.submit(_write_drawing, folder, name) for name in BOARD]
        jobs += [hands.submit(write_sound, folder, name) for name in SOUNDS]
        for job in jobs:
            job.result()


def _bring(folder: Path, name: str) -> Picture:
    source = found_path(name)
    shutil.copyfile(source, folder / "pictures" / f"{name}.png")
    text = FOUND[name].toml(hashlib.sha256(source.read_bytes()).hexdigest())
    (folder / "pictures" / f"{name}.toml").write_text(text, encoding="utf-8", newline="\n")
    with Image.open(source) as image:
        return np.asarray(image.convert("RGB"), np.float32) / 255.0


def _write_print(folder: Path, name: str, pictures: dict[str, Picture]) -> None:
    """A print, and all that is made of it."""
    found, make, how = PRINTS[name]
    printed = stepped(np.rint(np.clip(make(pictures[found]), 0, 1) * 255).astype(np.uint8))
    file = folder / "pictures" / f"{name}.png"
    write_png(file, printed)
    text = FOUND[found].printed(found, how).toml(hashlib.sha256(file.read_bytes()).hexdigest())
    file.with_suffix(".toml").write_text(text, encoding="utf-8", newline="\n")
    for piece in (n for n, recipe in CUTS.items() if recipe().picture == name):
        write_cut(folder, piece, printed)
    for piece in (n for n, recipe in MENDED.items() if recipe.picture == name):
        write_mended(folder, piece, printed)


def _write_cutout(folder: Path, name: str, making: Making) -> None:
    cutting = making.make()
    cutting = np.dstack([stepped(cutting[..., :3]), cutting[..., 3]])
    cutting[cutting[..., 3] == 0] = 0
    Image.fromarray(cutting).save(folder / "cutouts" / f"{name}.png", compress_level=4)
    lines = ["format = 1", f"width_mm = {cutting.shape[1] / making.px_per_mm:.2f}"]
    if making.picture:
        lines.append(f'picture = "{making.picture}"')
    (folder / "cutouts" / f"{name}.toml").write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")


def _write_drawing(folder: Path, name: str) -> None:
    Image.fromarray(BOARD[name]()).save(folder / "board" / f"{name}.png", compress_level=4)
