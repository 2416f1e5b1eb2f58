"""Moves as documents say them, at least one of each kind."""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter
from tests.strategies import VIEW_CHANNELS, WALKER

from splitpin.motion import AnyMove
from splitpin.motion.move import Before, Motion, Move, Span

READ: TypeAdapter[Move] = TypeAdapter(AnyMove)

MEMBER_MOVES: list[dict[str, Any]] = [
    {"move": "slide", "to": [100, 20]},
    {"move": "slide", "by": [-30, 0], "arc": 25, "ease": "brisk"},
    {"move": "slide", "by": [60, 10], "curve": [[10, 40]], "ease": [0.3, -0.4, 0.6, 1.5]},
    {"move": "slide", "to": [60, 10], "curve": [[10, 40], [30, -40]]},
    {"move": "slide", "by": [60, 10], "through": [[10, 40], [30, 5], [20, 20]]},
    {"move": "slide", "piece": "left", "by": [5, 2]},
    {"move": "pan", "by": [-300, 0]},
    {"move": "roll", "by": [120, 0]},
    {"move": "roll", "by": [-80, 0], "arc": -20, "diameter": 15},
    {"move": "hop", "by": [40, 5]},
    {"move": "hop", "to": [40, 5], "times": 3},
    {"move": "hop"},
    {"move": "bounce"},
    {"move": "bounce", "dropped": True, "times": 5, "height": 12},
    {"move": "walk", "by": [100, 0], "feet": ["left", "right"]},
    {"move": "walk", "to": [-60, 30], "feet": ["right", "left"], "steps": 5, "arc": 20},
    {"move": "walk", "by": [20, 0], "feet": ["left", "right"], "steps": 1},
    {"move": "scuttle", "by": [50, 0], "legs": ["left", "right"]},
    {"move": "scuttle", "by": [50, 0], "piece": "head", "legs": ["plain", "cross"], "each": 2},
    {"move": "bend", "piece": "head", "to": 30},
    {"move": "bend", "by": 300},
    {"move": "reach", "piece": "left", "end": "toe", "to": [40, 30]},
    {"move": "reach", "piece": "left", "end": "toe", "to": [-900, 30], "bend": "clockwise"},
    {"move": "nod", "piece": "head"},
    {"move": "nod", "piece": "jaw", "both": True, "times": 3, "by": 20},
    {"move": "snap", "by": [30, -10]},
    {"move": "snap", "piece": "jaw", "turn_by": 90},
    {"move": "snap", "to": [0, 0], "turn_to": 45},
    {"move": "jaw"},
    {"move": "jaw", "openings": [2, 5, 0, 4]},
    {"move": "speak", "sound": "line.wav"},
    {"move": "speak", "sound": "line.wav", "piece": "jaw", "turn": -20},
    {"move": "speak", "sound": "line.wav", "piece": "head", "shows": {"shut": "plain", "open": "cross"}},
    {"move": "swap", "piece": "head", "shows": "cross"},
    {"move": "swap", "piece": "head", "shows": ["cross", "plain", "cross"], "back": True},
    {"move": "swap", "piece": "head", "shows": ["cross", "plain"], "each": 2},
    {"move": "blink"},
    {"move": "blink", "piece": "head", "shows": "cross"},
    {"move": "flutter"},
    {"move": "flutter", "pieces": ["jaw", "lids"], "mm": 20},
    {"move": "growth", "to": 3},
    {"move": "growth", "piece": "head", "by": 0.5},
    {"move": "growth", "sizes": [1, 1.5, 2.5]},
    {"move": "approach", "to": [0, -100], "scale": 4},
    {"move": "peel"},
    {"move": "peel", "pieces": ["jaw", "head"], "pull": [200, 0]},
    {"move": "peel", "pieces": ["jaw", "head"], "cover": True},
    {"move": "shake"},
    {"move": "shake", "piece": "head", "along": 90, "degrees": 4},
    {"move": "appear"},
    {"move": "leave", "piece": "head"},
    {"move": "posed", "values": [{"x": 5}, {"head": {"angle": 4, "shows": "cross"}}, {"x": 9, "flip": True}]},
    {"move": "hold"},
]
VIEW_MOVES: list[dict[str, Any]] = [
    {"move": "pan", "by": [50, 10], "arc": 10},
    {"move": "track", "nearer": 2},
    {"move": "track", "width_mm": 800, "onto": [40, -10]},
    {"move": "tilt", "by": -10},
    {"move": "shake", "degrees": 1},
    {"move": "posed", "values": [{"width": 300}, {"x": 4}]},
    {"move": "hold"},
]


def read(document: dict[str, Any], who: str = "cat") -> Move:
    """The move of a document."""
    return READ.validate_python({"who": who} | document)


def run(document: dict[str, Any], count: int, pose: Any = None, seed: int = 0) -> Motion:
    """The values of a walker's move over so many exposures on twos."""
    return read(document).motion(Span(0, 2 * count, 2), Before(pose or {}, WALKER), seed)


def run_view(document: dict[str, Any], count: int) -> Motion:
    """The values of a move of the view over so many exposures on ones."""
    return read(document, "view").motion(Span(0, count, 1), Before(VIEW_CHANNELS, None), 0)
