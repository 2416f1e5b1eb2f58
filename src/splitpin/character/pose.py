"""Poses as named channels.

A pose is a flat mapping from channel to value. The root has ``x``, ``y`` (mm), ``angle`` (degrees
anticlockwise), ``scale``, ``flip``, ``hidden`` and ``level``. Any piece has ``PIECE.angle``, ``PIECE.x``,
``PIECE.y`` (a shift off its pin, mm, along the axes of the piece it hangs on), ``PIECE.scale``,
``PIECE.shows`` (a replacement), ``PIECE.hidden`` and ``PIECE.level``. What is not said is at rest.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from splitpin.character.character import Character

Value = float | bool | str
Pose = Mapping[str, Value]

REST: dict[str, Value] = {
    "x": 0.0,
    "y": 0.0,
    "angle": 0.0,
    "scale": 1.0,
    "flip": False,
    "hidden": False,
    "level": 0.0,
}
PIECE_REST: dict[str, Value] = {
    "angle": 0.0,
    "x": 0.0,
    "y": 0.0,
    "scale": 1.0,
    "shows": "",
    "hidden": False,
    "level": 0.0,
}
MULTIPLIED = ("scale", "width")
"""Channels whose disturbances multiply instead of add (1 disturbs nothing)."""


def multiplied(channel: str) -> bool:
    """Whether what disturbs a channel, ``scale`` or ``mouth.scale``, multiplies it."""
    return channel.rpartition(".")[2] in MULTIPLIED


def undisturbed(channel: str) -> float:
    """The disturbance of a channel that does nothing: 1 where it multiplies, else 0."""
    return 1.0 if multiplied(channel) else 0.0


def channels_of(character: Character) -> dict[str, Value]:
    """Every channel a character has, at rest."""
    channels = dict(REST)
    for name, piece in character.pieces.items():
        for channel, value in PIECE_REST.items():
            if channel == "shows":
                if piece.set:
                    channels[f"{name}.shows"] = piece.resting_show
            else:
                channels[f"{name}.{channel}"] = value
    return channels


def flatten(nested: Mapping[str, object], prefix: str = "") -> Iterator[tuple[str, object]]:
    """Turn the nested tables that dotted keys make in a document into flat channels.

    >>> dict(flatten({"x": 1, "head": {"angle": 2}}))
    {'x': 1, 'head.angle': 2}
    """
    for key, value in nested.items():
        if isinstance(value, Mapping):
            yield from flatten(value, f"{prefix}{key}.")
        else:
            yield f"{prefix}{key}", value
