"""Scenes with a known fault, and scenes without it, for the forecast: what is true of each is known by how it
was made. Tests take some of them, ``benchmarks/forecast.py`` all.

Numbers come from both sides of each threshold and lie at least a tenth away from it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.character.character import Character
from splitpin.character.figure import Figure, assemble, lone
from splitpin.cutout.cutout import Cutout
from splitpin.frames.uncovered import Uncovered
from splitpin.measure.table import Stage
from splitpin.scene.scene import Scene
from splitpin.sheet.expose import expose
from splitpin.sheet.forecast.known import Known

STAGE = Stage(480, 270, 400.0)
RATE = Fraction(24)
Alpha = NDArray[np.uint8]
Document = dict[str, Any]


class Things(NamedTuple):
    """What may lie on the table."""

    alphas: dict[str, Alpha]
    mm: dict[str, float]
    """The size of a pixel of each."""
    characters: dict[str, Document]


def bar(length: int, width: int, rounded: bool) -> Alpha:
    """A limb that begins at x = width / 2, with a round end there, or a straight one."""
    y, x = np.indices((width + 8, length + width)).astype(float) + 0.5
    middle = (width + 8) / 2
    paper = (x >= width / 2) & (np.abs(y - middle) <= width / 2)
    if rounded:
        paper |= np.hypot(x - width / 2, y - middle) <= width / 2
    return np.where(paper, 255, 0).astype(np.uint8)


def card(width: int, height: int) -> Alpha:
    return np.full((height, width), 255, np.uint8)


def disc(across: int) -> Alpha:
    y, x = np.indices((across, across)) + 0.5
    return np.where(np.hypot(x - across / 2, y - across / 2) <= across / 2, 255, 0).astype(np.uint8)


def things(rounded: bool = True) -> Things:
    """A ground larger than the field, a card, and a figure with an arm and two feet."""
    alphas = {
        "ground": card(560, 340), "card": card(80, 60), "mote": disc(24),
        "body": card(60, 80), "foot": card(24, 12), "arm": bar(90, 30, rounded),
    }  # fmt: skip
    mm = {"ground": 1.0, "card": 0.5, "mote": 0.5, "body": 0.7, "foot": 0.7, "arm": 0.5}
    pieces = {
        "body": {
            "cutout": "body", "pin": "seat",
            "pins": {"seat": [30, 70], "shoulder": [38, 22], "left": [15, 78], "right": [45, 78]},
        },
        "left": {"cutout": "foot", "on": "body.left", "pin": "heel", "pins": {"heel": [12, 2]}},
        "right": {"cutout": "foot", "on": "body.right", "pin": "heel", "pins": {"heel": [12, 2]}},
        "arm": {"cutout": "arm", "on": "body.shoulder", "pin": "top", "pins": {"top": [15, 19]}, "angle": 9},
    }  # fmt: skip
    puppet = {"format": 1, "pieces": pieces, "order": ["left", "right", "body", "arm"]}
    return Things(alphas, mm, {"puppet": puppet})


def limb(things: Things, rounded: bool) -> None:
    """Add two bars on one pin: the lower one ends in a disc about it, or straight at it."""
    things.alphas["upper"] = np.ascontiguousarray(bar(100, 40, rounded=False)[:, ::-1])
    things.alphas["lower"] = bar(100, 40, rounded)
    things.mm.update({"upper": 0.5, "lower": 0.5})
    pieces = {
        "upper": {"cutout": "upper", "pins": {"elbow": [120, 24]}},
        "lower": {"cutout": "lower", "on": "upper.elbow", "pin": "elbow", "pins": {"elbow": [20, 24]}},
    }
    things.characters["limb"] = {"format": 1, "pieces": pieces}


def known(document: Document, things: Things, **more: Any) -> Known:
    """Expose a scene and make it ready for the forecast."""
    cutouts = {n: Cutout(n, a.shape[1], a.shape[0], things.mm[n]) for n, a in things.alphas.items()}
    scene = Scene.model_validate({"format": 1} | document)
    figures: dict[str, Figure] = {}
    if scene.background is not None:
        figures["background"] = lone("background", cutouts[scene.background])
    for who, member in scene.cast.items():
        if member.cutout is not None:
            figures[who] = lone(who, cutouts[member.cutout])
        elif member.character is not None:
            character = Character.model_validate(things.characters[member.character])
            figures[who] = assemble(member.character, character, cutouts)
    found = expose("a-scene", scene, figures, STAGE, RATE, 2)
    assert not found.faults, found.faults
    more = {"kept": frozenset(things.alphas)} | more
    return Known(
        found.sheet, scene, STAGE, figures, cutouts, things.alphas, Uncovered(STAGE, things.alphas), **more
    )


def alive(seconds: float, **cast: Document) -> Document:
    """A scene in which a mote creeps all the time, so that nothing is dead, and nothing else is wrong."""
    mote = {"cutout": "mote", "x": -120, "y": 70}
    creep = {"move": "slide", "who": "mote", "by": [seconds * 8, 0], "seconds": seconds, "ease": "even"}
    return {
        "background": "ground",
        "panels": [{"name": "one", "seconds": seconds}],
        "cast": {"mote": mote} | cast,
        "moves": [creep],
    }


def between(chance: np.random.Generator, low: float, high: float) -> float:
    return round(float(chance.uniform(low, high)), 2)


def holes(chance: np.random.Generator, fault: bool) -> Known:
    """A card lies on a torn ground and slides away; on a whole one, or not so far, nothing shows."""
    its = things()
    kind = chance.integers(3)
    x, y = between(chance, -80, 80), between(chance, -50, 40)
    whole = not fault and kind == 0
    if not whole:
        width, height = (int(chance.integers(3, 24)) for _ in range(2))
        left, top = round(280 + x) - width // 2, round(170 - y) - height // 2
        its.alphas["ground"] = its.alphas["ground"].copy()
        its.alphas["ground"][top : top + height, left : left + width] = 0
    its.alphas["card"], its.mm["card"] = card(120, 100), 0.5
    scene = alive(2.0, card={"cutout": "card", "x": x, "y": y})
    away = between(chance, 90, 150) if fault or whole else between(chance, 1, 15)
    scene["moves"] += [{"move": "slide", "who": "card", "by": [-away if x > 0 else away, 0], "seconds": 2.0}]
    return known(scene, its)


def gaps(chance: np.random.Generator, fault: bool) -> Known:
    """An elbow without overlap is bent; or it has a disc there, or is bent by so little that nobody sees."""
    its = things()
    little = not fault and bool(chance.integers(2))
    limb(its, rounded=not fault and not little)
    angle = between(chance, 1, 6) if little else between(chance, 10, 75)
    turned = angle if chance.integers(2) else -angle
    place = {"character": "limb", "x": between(chance, -50, 50), "y": between(chance, -8, 8)}
    scene = alive(2.0, limb=place | {"angle": between(chance, 0, 360)})
    scene["moves"] += [{"move": "bend", "who": "limb", "piece": "lower", "to": turned, "seconds": 1.5}]
    return known(scene, its)


def field(chance: np.random.Generator, fault: bool) -> Known:
    """A card goes from the middle over an edge and stays or comes back, or stops in the margin.

    Or it leaves altogether, comes in, hangs over the edge from the start, or stops just clear of the margin.
    """
    side = 1 if chance.integers(2) else -1
    half, edge, margin = 20.0, 200.0, 400 * 0.035
    y = between(chance, -40, 40)
    how = int(chance.integers(3 if fault else 4))
    slides: list[float]
    start = between(chance, -60, 60)
    if fault:
        over = between(chance, 2, 36)
        stop = edge - half + over
        slides = {0: [stop], 1: [stop, start], 2: [edge - half - between(chance, 0.5, margin - 2)]}[how]
    elif how == 0:
        slides = [edge + half + 10]
    elif how == 1:
        start, slides = edge + half + 10, [between(chance, -60, 60)]
    elif how == 2:
        start = edge - half + between(chance, 2, 36)
        slides = [start]
    else:
        slides = [edge - half - margin - between(chance, 1.5, 20)]
    scene = alive(5.0, card={"cutout": "card", "x": side * start, "y": y})
    for n, x in enumerate(slides):
        move = {"name": f"go-{n}", "move": "slide", "who": "card", "to": [side * x, y], "seconds": 1.6}
        scene["moves"] += [move | ({"after": f"go-{n - 1}"} if n else {})]
    return known(scene, things())


def strobe(chance: np.random.Generator, fault: bool) -> Known:
    """A card goes on by more than half of itself a step, or a pan is quick but not a zip.

    Or the card overlaps its last place, jumps twice, or flutters; the pan is slow, or a zip.
    """
    how = int(chance.integers(2 if fault else 5))
    scene = alive(3.0, card={"cutout": "card", "x": 0, "y": between(chance, -60, 30)})
    if how == 0:  # 40 mm wide: half of it is 20
        step = between(chance, 22, 40) if fault else between(chance, 2, 18)
        steps = int(chance.integers(4, 8))
        scene["cast"]["card"]["x"] = -step * steps / 2
        scene["moves"] += [
            {"move": "slide", "who": "card", "by": [step * steps, 0], "positions": steps, "ease": "even"}
        ]
    elif how == 1 or how == 4:
        # Of a view 200 mm wide: 0.83 % is 1.66 mm, 2.08 % is 4.16 mm.
        step = between(chance, 1.85, 3.7) if fault else between(chance, 0.3, 1.5)
        if how == 4:
            step = between(chance, 4.6, 8)
        steps = 16
        scene["view"] = {"width_mm": 200.0, "x": -step * steps / 2}
        scene["cast"]["mote"] |= {"x": step * steps / 2, "y": 35}
        scene["moves"] += [
            {
                "move": "pan", "who": "view", "by": [step * steps, 0], "positions": steps, "on": 1,
                "ease": "even",
            }
        ]  # fmt: skip
    elif how == 2:
        scene["moves"] += [
            {"move": "slide", "who": "card", "by": [100, 0], "positions": 2, "ease": "even"},
        ]
    else:
        scene["moves"] += [{"move": "flutter", "who": "card", "mm": 60.0, "seconds": 1.5}]
    return known(scene, things())


def handle(chance: np.random.Generator, fault: bool) -> Known:
    """A scrap smaller than 6 mm both ways; or one that is not, or a thin strip that is long enough."""
    its = things()
    wide = between(chance, 2, 5.4) if fault else between(chance, 6.6, 20)
    thin = chance.integers(2) and not fault
    its.alphas["scrap"] = card(40, 8 if thin else int(chance.integers(20, 41)))
    its.mm["scrap"] = wide / 40
    scale = between(chance, 0.5, 2)
    its.mm["scrap"] /= scale
    scene = alive(1.5, scrap={"cutout": "scrap", "scale": scale, "x": between(chance, -90, 90)})
    return known(scene, its)


def stack(chance: np.random.Generator, fault: bool) -> Known:
    """Cards on one another, more than ten with the ground, which at 0.28 mm are 3 mm; or fewer, or as many
    beside one another.
    """
    spread = not fault and bool(chance.integers(2))
    many = int(chance.integers(11, 18)) if fault or spread else int(chance.integers(3, 9))
    scene = alive(1.5)
    x, y = between(chance, -60, 60), between(chance, -30, 30)
    for n in range(many):
        at = (-160 + 45 * (n % 8), -60 + 40 * (n // 8)) if spread else (x + n % 4, y + n // 4)
        scene["cast"][f"card-{n}"] = {"cutout": "card", "x": at[0], "y": at[1]}
    return known(scene, things())


def feet(chance: np.random.Generator, fault: bool) -> Known:
    """A hand, or a ground that goes by, moves a foot that stands; or a foot that swings, or nothing."""
    steps, each = int(chance.integers(3, 6)), 6
    x = between(chance, -90, -30)
    scene = alive(steps * each / 12 + 0.5, cat={"character": "puppet", "x": x, "y": -40})
    scene["moves"] += [
        {
            "move": "walk", "who": "cat", "by": [between(chance, 40, 110), 0], "feet": ["left", "right"],
            "steps": steps, "positions": steps * each,
        }
    ]  # fmt: skip
    step = int(chance.integers(1, steps))
    slip = between(chance, 1.3, 6) if fault else between(chance, 1, 6)
    how = int(chance.integers(2 if fault else 3))
    if how == 0:
        # During step n the feet named n-th swing; the others stand.
        foot = ["left", "right"][(step + 1) % 2 if fault else step % 2]
        frame = (step * each + int(chance.integers(1, each - 1))) * 2
        plain = known(scene, things()).sheet
        row = next(row for row in plain.rows if row.frame == frame)
        scene["touches"] = [
            {
                "who": "cat",
                "frame": frame,
                "set": {f"{foot}": {"x": float(row.poses["cat"][f"{foot}.x"]) + slip}},
            }
        ]
    elif how == 1:
        # The ground goes by all the time: so much in each step.
        by = -slip * steps if fault else -between(chance, 0.1, 0.5) * steps
        scene["moves"] += [
            {"move": "slide", "who": "background", "by": [by, 0], "positions": steps * each, "ease": "even"}
        ]
    else:
        scene["moves"] += [{"move": "nod", "who": "cat", "by": between(chance, 3, 12), "times": 2}]
    return known(scene, things())


def still(chance: np.random.Generator, fault: bool) -> Known:
    """Nothing moves for more than a second; or for less, again and again, or there are words to be read."""
    scene = alive(4.0, card={"cutout": "card"})
    words = not fault and bool(chance.integers(2))
    gap = between(chance, 1.15, 2.0) if fault or words else between(chance, 0.2, 0.85)
    scene["moves"] = []
    at = 0.0
    while at < 3.9:
        scene["moves"] += [
            {"move": "slide", "who": "mote", "by": [6, 0], "start": round(at, 2), "positions": 3}
        ]
        at += 0.25 + gap
    return known(scene, things(), words=frozenset({"card"} if words else ()))


def envelope(chance: np.random.Generator, fault: bool) -> Known:
    """A loose card goes somewhere; or it trembles, or a character has it, or it is scenery."""
    how = int(chance.integers(3))
    scene = alive(2.0, card={"cutout": "card", "x": between(chance, -60, 0)})
    far = between(chance, 24, 90) if fault or how == 0 else between(chance, 1, 16)
    scene["moves"] += [{"move": "slide", "who": "card", "by": [far, between(chance, -5, 5)], "seconds": 1.5}]
    if not fault and how == 1:
        scene["moves"] = [scene["moves"][0], {"move": "shake", "who": "card", "mm": 4.0}]
    its = things()
    kept = frozenset(its.alphas) - (frozenset({"card"}) if fault or how else frozenset())
    return known(scene, its, kept=kept)


def silent(chance: np.random.Generator, fault: bool) -> Known:
    """What is heard is told by who knows the sound; see ``tests/film/test_silence.py``."""
    return known(alive(between(chance, 1, 3)), things(), heard=not fault)


def strewn(chance: np.random.Generator) -> Known:
    """Cards and soft discs, turned and of any size, that move on a ground which may fill the picture, or just
    not; the view may turn and come nearer.
    """
    its = things()
    its.alphas["mote"] = softened(disc(80))
    cast: Document = {
        "sheet": {
            "cutout": "ground", "x": between(chance, -60, 60), "y": between(chance, -50, 50),
            "angle": between(chance, -8, 8), "scale": between(chance, 0.75, 1.2),
        }
    }  # fmt: skip
    for n in range(5):
        cast[f"bit-{n}"] = {
            "cutout": "mote" if n % 2 else "card", "x": between(chance, -180, 180),
            "y": between(chance, -100, 100), "angle": between(chance, 0, 360),
            "scale": between(chance, 0.3, 3),
        }  # fmt: skip
    moves: list[Document] = [
        {
            "move": "slide",
            "who": who,
            "by": [between(chance, -60, 60), between(chance, -60, 60)],
            "seconds": 0.5,
        }
        for who in cast
    ]
    if chance.integers(2):
        moves.append({"move": "track", "who": "view", "width_mm": between(chance, 250, 380), "seconds": 0.5})
    return known({"panels": [{"name": "one", "seconds": 0.5}], "cast": cast, "moves": moves}, its)


def softened(alpha: Alpha) -> Alpha:
    """Edges that fade over some pixels, as those of a matte do."""
    high, across = alpha.shape
    wide = np.pad(alpha, 3).astype(int)
    total = sum(
        (wide[i : i + high, j : j + across] for i in range(7) for j in range(7)), np.zeros(alpha.shape, int)
    )
    soft: Alpha = (total // 49).astype(np.uint8)
    return soft


MAKERS: Mapping[str, Callable[[np.random.Generator, bool], Known]] = {
    "holes": holes, "gaps": gaps, "field": field, "strobe": strobe, "handle": handle, "stack": stack,
    "feet": feet, "silent": silent, "still": still, "envelope": envelope,
}  # fmt: skip
"""Of each kind: a scene that has the fault, or that has not."""


def made(kind: str, n: int, fault: bool) -> Known:
    """The nth scene of a kind."""
    return MAKERS[kind](np.random.default_rng([n, fault, sorted(MAKERS).index(kind)]), fault)
