"""A film of random scenes: members and pieces that travel and turn in every kind of way."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from tests.tinyfilm import write_tiny

EASES = ("even", "taper", "slow-out", "slow-in-out", "swing", "fall")
HEAD = """\
format = 1
background = "hill"
seed = {seed}

[[panels]]
name = "all"
frames = {frames}

[cast.cat]
character = "cat"
x = {x}
y = {y}
angle = {angle}
flip = {flip}

[cast.ball]
cutout = "ball"
x = {y}
y = {x}
"""


def write_random(folder: Path, scenes: int, seed: int) -> Path:
    """Write the film; the same seed writes the same film."""
    write_tiny(folder)
    random = np.random.default_rng(seed)
    names = [f"{n:03d}-random" for n in range(scenes)]
    for name in names:
        (folder / "scenes" / f"{name}.toml").write_text(_scene(random), encoding="utf-8")
    set_scenes(folder, names)
    return folder


def set_scenes(folder: Path, names: list[str]) -> None:
    """Let a tiny film have these scenes."""
    film = folder / "film.toml"
    text = film.read_text(encoding="utf-8")
    quoted = ", ".join(f'"{name}"' for name in names)
    film.write_text(text.replace('"010-hill", "020-sea"', quoted), encoding="utf-8")
    for old in ("010-hill", "020-sea"):
        if old not in names:
            (folder / "scenes" / f"{old}.toml").unlink()


def _scene(random: np.random.Generator) -> str:
    def mm(most: float = 60.0) -> float:
        return round(float(random.uniform(-most, most)), 3)

    def move(who: str, kind: str, start: int, positions: int, keys: str) -> str:
        return (
            f'\n[[moves]]\nmove = "{kind}"\nwho = "{who}"\nstart = {start / 24:.4f}\n'
            f"positions = {positions}\n{keys}\n"
        )

    text = HEAD.format(
        seed=random.integers(1000), frames=96, x=mm(), y=mm(), angle=mm(180),
        flip=str(bool(random.integers(2))).lower(),
    )  # fmt: skip
    for who in ("cat", "ball"):
        for start in (0, 48):
            positions = int(random.integers(3, 20))
            ways = ["", f"arc = {mm(40)}", f"curve = [[{mm()}, {mm()}], [{mm()}, {mm()}]]",
                    f"through = [[{mm()}, {mm()}], [{mm()}, {mm()}]]"]  # fmt: skip
            way, ease = random.choice(ways), random.choice(EASES)
            keys = f'to = [{mm()}, {mm()}]\nease = "{ease}"\n{way}'
            kinds = ["slide", "bounce", "flutter", "shake", "hop"]
            kind = str(random.choice(kinds, p=[0.6, 0.1, 0.1, 0.1, 0.1]))
            if kind != "slide":
                keys = {"bounce": "height = 20.0", "hop": f"to = [{mm()}, {mm()}]"}.get(kind, "")
            text += move(who, kind, start, positions, keys)
    bend = random.choice(["even", "swing"])
    text += move("cat", "bend", 0, int(random.integers(3, 20)), f'piece = "head"\nto = 25.0\nease = "{bend}"')
    text += move("cat", "nod", 48, 8, 'piece = "head"\nby = -15.0')
    text += move("ball", "bend", 0, int(random.integers(3, 20)), f"by = {mm(300)}")
    text += move("cat", "slide", 24, 6, f'piece = "mouth"\nby = [{mm(5)}, {mm(5)}]')
    return text
