"""A little moving picture of each move: a paper doll on a bare table, exposed like any other scene."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import NamedTuple

from splitpin.character.character import Character, Piece, Replacement
from splitpin.character.figure import Figure, assemble, lone
from splitpin.cutout.cutout import Cutout
from splitpin.measure.table import Stage
from splitpin.motion import MOVES
from splitpin.scene.scene import Scene
from splitpin.sheet.expose import expose
from splitpin.sheet.sheet import Sheet

STAGE = Stage(320, 180, 160.0)
"""160 × 90 mm."""
RATE, ON = Fraction(24), 2


class Shape(NamedTuple):
    """A piece of coloured paper."""

    width: int
    """Pixels of one millimetre."""
    height: int
    path: str
    """Its outline as SVG has it, in these pixels, y down."""
    colour: str


def _oval(width: int, height: int) -> str:
    x, y = width / 2, height / 2
    return f"M0 {y}A{x} {y} 0 1 0 {width} {y}A{x} {y} 0 1 0 0 {y}Z"


def _bar(width: int, height: int, r: int) -> str:
    across, down = width - 2 * r, height - 2 * r
    return (
        f"M{r} 0h{across}a{r} {r} 0 0 1 {r} {r}v{down}a{r} {r} 0 0 1 -{r} {r}"
        f"h-{across}a{r} {r} 0 0 1 -{r} -{r}v-{down}a{r} {r} 0 0 1 {r} -{r}Z"
    )


SHAPES: dict[str, Shape] = {
    "coat": Shape(26, 34, "M6 0h14l6 34h-26Z", "#285380"),
    "face": Shape(24, 22, _oval(24, 22), "#e3b98f"),
    "lids": Shape(16, 4, _bar(16, 4, 2), "#24272c"),
    "eyes": Shape(16, 4, "M0 2a2 2 0 1 0 4 0a2 2 0 1 0 -4 0ZM12 2a2 2 0 1 0 4 0a2 2 0 1 0 -4 0Z", "#24272c"),
    "chin": Shape(14, 8, "M0 0h14v2a7 6 0 0 1 -14 0Z", "#cf9f73"),
    "shut": Shape(10, 2, _bar(10, 2, 1), "#a5311f"),
    "open": Shape(8, 7, _oval(8, 7), "#a5311f"),
    "arm": Shape(7, 20, _bar(7, 20, 3), "#1e436b"),
    "hand": Shape(7, 20, "M1 0h5v12a4 4 0 1 1 -5 0Z", "#e3b98f"),
    "foot": Shape(14, 7, "M0 7v-4a4 3 0 0 1 8 0h2a4 4 0 0 1 4 4Z", "#24272c"),
    "legs": Shape(26, 9, "M2 0h4l-4 9h-2ZM20 0h4l2 9h-4Z", "#24272c"),
    "legs-2": Shape(26, 9, "M6 0h4v9h-4ZM16 0h4v9h-4Z", "#24272c"),
    "coin": Shape(24, 24, _oval(24, 24) + "M12 3v9", "#b48a36"),
    "leaf": Shape(16, 11, "M0 6a10 7 0 0 1 16 -4a10 7 0 0 1 -16 4Z", "#3d6a41"),
    "leaf-2": Shape(13, 13, "M0 13l3 -10l10 -3l-4 10Z", "#a5311f"),
    "leaf-3": Shape(14, 9, _oval(14, 9), "#b48a36"),
    "hill": Shape(260, 40, "M0 40v-16q40 -30 80 -6t80 2t100 -14v34Z", "#a8b78a"),
}
"""What the doll, a coin, some leaves and the ground are cut from."""

DOLL = Character(
    format=1,
    pieces={
        "body": Piece(cutout="coat", pin="foot", pins={
            "foot": (13, 34), "neck": (13, 4), "shoulder": (20, 6), "left": (7, 34), "right": (19, 34),
        }),
        "leg-left": Piece(cutout="foot", on="body.left", pin="top", pins={"top": (5, 1)}),
        "leg-right": Piece(cutout="foot", on="body.right", pin="top", pins={"top": (5, 1)}),
        "arm": Piece(cutout="arm", on="body.shoulder", pin="in", angle=20,
                     pins={"in": (3, 3), "out": (3, 18)}),
        "hand": Piece(cutout="hand", on="arm.out", pin="in", pins={"in": (3, 2), "tip": (3, 17)}, angle=10),
        "jaw": Piece(cutout="chin", on="head.chin", pin="top", pins={"top": (7, 2)}),
        "head": Piece(cutout="face", on="body.neck", pin="neck", pins={
            "neck": (12, 20), "eyes": (12, 8), "mouth": (12, 16), "chin": (12, 17),
        }),
        "eyes": Piece(cutout="eyes", on="head.eyes"),
        "lids": Piece(cutout="lids", on="head.eyes"),
        "mouth": Piece(on="head.mouth", set={
            "shut": Replacement(cutout="shut"), "open": Replacement(cutout="open"),
        }),
    },
)  # fmt: skip
RUNNER = Character(
    format=1,
    pieces={
        "body": Piece(cutout="coat", pin="foot", pins={"foot": (13, 34), "neck": (13, 4), "hip": (13, 33)}),
        "legs": Piece(on="body.hip", pin="top", pins={"top": (13, 0)}, set={
            "wide": Replacement(cutout="legs"), "close": Replacement(cutout="legs-2"),
        }),
        "head": Piece(cutout="face", on="body.neck", pin="neck", pins={"neck": (12, 20)}),
    },
)  # fmt: skip
LEAVES = Character(
    format=1,
    pieces={
        "one": Piece(cutout="leaf", pins={"a": (30, -8), "b": (-20, -12), "c": (4, 26)}),
        "two": Piece(cutout="leaf-2", on="one.a"),
        "three": Piece(cutout="leaf-3", on="one.b"),
        "four": Piece(cutout="leaf-2", on="one.c"),
    },
)

ACROSS = {"x": -45.0, "y": -30.0}
SAMPLES: Mapping[str, tuple[str, Mapping[str, float], Mapping[str, object]]] = {
    "slide": ("coin", {"x": -55.0}, {"to": [55.0, 0.0], "positions": 18}),
    "pan": ("hill", {"x": 40.0, "y": -25.0}, {"by": [-80.0, 0.0], "positions": 40}),
    "roll": ("coin", {"x": -60.0, "y": -20.0}, {"to": [60.0, -20.0]}),
    "hop": ("doll", ACROSS, {"to": [45.0, -30.0], "times": 2, "positions": 20}),
    "bounce": ("coin", {"y": -28.0}, {"height": 45.0}),
    "walk": ("doll", ACROSS, {"to": [45.0, -30.0], "feet": ["leg-left", "leg-right"], "steps": 5,
                              "positions": 30, "lift": 5.0}),
    "scuttle": ("runner", ACROSS, {"to": [50.0, -30.0], "legs": ["close", "wide"], "piece": "legs"}),
    "bend": ("doll", {"y": -30.0}, {"piece": "arm", "to": 110.0, "positions": 10}),
    "reach": ("doll", {"y": -30.0}, {"piece": "hand", "end": "tip", "to": [32.0, 14.0], "positions": 10}),
    "nod": ("doll", {"y": -30.0}, {"piece": "head"}),
    "snap": ("doll", {"x": -35.0, "y": -30.0}, {"to": [35.0, -30.0]}),
    "jaw": ("doll", {"y": -30.0}, {"piece": "jaw"}),
    "swap": ("doll", {"y": -30.0}, {"piece": "mouth", "shows": ["open", "shut"], "positions": 12, "each": 2}),
    "blink": ("doll", {"y": -30.0}, {"piece": "lids"}),
    "flutter": ("leaves", {}, {"pieces": ["one", "two", "three", "four"]}),
    "growth": ("coin", {"scale": 0.6}, {"to": 2.4, "positions": 14}),
    "approach": ("doll", {"x": 40.0, "y": 12.0, "scale": 0.35}, {"to": [-10.0, -34.0], "scale": 1.25}),
    "peel": ("leaves", {}, {"pieces": ["four", "three", "two"], "pull": [60.0, 30.0], "positions": 12}),
    "shake": ("doll", {"y": -30.0}, {"mm": 6.0, "positions": 8}),
    "track": ("view", {"y": -30.0}, {"nearer": 2.4, "onto": [0.0, 8.0], "positions": 30}),
    "tilt": ("view", {"y": -30.0}, {"to": 14.0}),
    "appear": ("coin", {"hidden": True}, {}),
    "leave": ("coin", {}, {}),
    "posed": ("doll", {"y": -30.0}, {"values": [
        {"arm": {"angle": 70}, "x": 4}, {"arm": {"angle": 120}, "x": 6}, {"arm": {"angle": 100}},
        {"arm": {"angle": 125}, "head": {"angle": 8}}, {"arm": {"angle": 95}}, {"arm": {"angle": 120}},
        {"arm": {"angle": 40}, "head": {"angle": 0}, "x": 2}, {"arm": {"angle": 0}, "x": 0},
    ]}),
    "hold": ("doll", {"y": -30.0}, {}),
}  # fmt: skip
"""Of each move: who moves, how it lies, and the move's keys. A mouth that speaks is shown by replacements."""


@cache
def samples() -> dict[str, Sheet]:
    """The sheet of a little scene for each kind of move."""
    words = [str(move.model_fields["move"].annotation.__args__[0]) for move in MOVES]  # type: ignore[union-attr]
    return {word: _sample(word) for word in words}


def _sample(word: str) -> Sheet:
    who, lies, keys = SAMPLES["swap" if word == "speak" else word]
    shown = "swap" if word == "speak" else word
    on_table = "doll" if who == "view" else who
    member: dict[str, object] = {
        "character" if on_table in ("doll", "runner", "leaves") else "cutout": on_table,
        **lies,
    }
    if on_table == "doll":
        member["pose"] = {"lids": {"hidden": True}}
    move: dict[str, object] = {"move": shown, "who": who, "start": 0.5, **keys}
    scene = Scene.model_validate(
        {
            "format": 1, "seed": 7, "panels": [{"name": "all", "seconds": 10.0}],
            "cast": {on_table: member}, "moves": [move],
        }
    )  # fmt: skip
    exposed = expose(word, scene, {on_table: _figure(on_table)}, STAGE, RATE, ON)
    if exposed.faults:
        raise ValueError(f"{word}: {exposed.faults[0]}")
    end = exposed.sheet.spans[0].end + 16
    rows = tuple(row for row in exposed.sheet.rows if row.frame < end)
    return exposed.sheet._replace(rows=rows, frames=sum(row.frames for row in rows))


def _figure(who: str) -> Figure:
    paper = {name: Cutout(name, shape.width, shape.height, 1.0) for name, shape in SHAPES.items()}
    characters = {"doll": DOLL, "runner": RUNNER, "leaves": LEAVES}
    if who in characters:
        return assemble(who, characters[who], paper)
    return lone(who, paper[who])
