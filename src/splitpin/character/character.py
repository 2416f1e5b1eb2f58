"""Characters: pieces hung on pins of other pieces."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, StringConstraints, model_validator

from splitpin.measure.fault import Fault
from splitpin.measure.plain import Name, Number, Plain, Point, Positive, Text

Hook = Annotated[str, StringConstraints(strict=True, pattern=r"^[^\W_][\w-]*\.[^\W_][\w-]*$")]
"""``piece.pin``: a pin of a piece."""


class Replacement(Plain):
    """One of the cut-outs that can lie in a piece's place."""

    cutout: Name
    """The cut-out (a name in ``cutouts/``)."""
    pins: dict[Name, Point] = {}
    """Pins that lie elsewhere on this cut-out, ``[x, y]`` in its pixels from the top left corner."""


class Piece(Plain):
    """One piece of a character."""

    cutout: Name | None = None
    """The cut-out (a name in ``cutouts/``); a piece with a ``set`` has none of its own."""
    set: dict[Name, Replacement] = {}
    """The replacement set: several cut-outs of which one shows at a time."""
    shows: Name | None = None
    """Which of the set shows when nothing else is said; the first one when left out."""
    on: Hook | None = None
    """The pin of another piece that this one hangs on (``body.neck``); the root piece has none."""
    pin: Name | None = None
    """Its own pin, by which it hangs; the middle of its cut-out when left out."""
    pins: dict[Name, Point] = {}
    """Its pins, ``[x, y]`` in pixels of its cut-out from the top left corner."""
    angle: Number = 0.0
    """How it hangs at rest, in degrees anticlockwise from the piece it hangs on."""
    scale: Positive = 1.0
    """Its size against its cut-out's."""
    limits: tuple[Number, Number] | None = None
    """The least and the greatest angle away from rest, in degrees."""

    @model_validator(mode="after")
    def _one_way_to_show(self) -> Self:
        if (self.cutout is None) == (not self.set):
            raise ValueError("expected either a cutout or a set of replacements, not both and not neither")
        if self.shows is not None and self.shows not in self.set:
            raise ValueError(f"shows: one of the set, {', '.join(self.set)}")
        if self.limits is not None and self.limits[0] > self.limits[1]:
            raise ValueError("limits: from the least to the greatest angle")
        return self

    @property
    def resting_show(self) -> str:
        """The replacement that shows at rest; empty text for a plain piece."""
        return self.shows or next(iter(self.set), "")

    def cutout_when(self, shows: str) -> str:
        """The name of the cut-out that lies there while ``shows`` is shown."""
        return self.set[shows].cutout if self.set else (self.cutout or "")

    def pin_when(self, pin: str, shows: str) -> Point | None:
        """A pin's place in the pixels of the shown cut-out, or None when there is no such pin."""
        if self.set and pin in self.set[shows].pins:
            return self.set[shows].pins[pin]
        return self.pins.get(pin)


class Character(Plain):
    """``characters/NAME.toml``: a figure of loose pieces on pins."""

    format: Literal[1]
    """The version of this kind of document."""
    title: Text = ""
    """What it is called on its envelope; its name when left out."""
    pieces: Annotated[dict[Name, Piece], Field(min_length=1)]
    """The pieces by name."""
    order: list[Name] = []
    """The stacking order of the pieces, lowest first; as listed under ``pieces`` when left out."""
    note: Text = ""
    """Anything worth remembering."""


def faults_of(character: Character) -> list[Fault]:
    """What is wrong with how a character's pieces hang together."""
    faults: list[Fault] = []
    pieces = character.pieces
    roots = [name for name, piece in pieces.items() if piece.on is None]
    if len(roots) > 1:
        faults.append(
            Fault(
                ("pieces", roots[1]),
                f"{len(roots)} pieces hang on nothing: {', '.join(roots)}",
                "one root piece",
                "give all but one of them an `on`",
            )
        )
    for name, piece in pieces.items():
        if piece.on is not None:
            holder, pin = piece.on.split(".")
            if holder not in pieces:
                faults.append(
                    Fault(
                        ("pieces", name, "on"),
                        f"there is no piece {holder!r}",
                        f"one of {', '.join(pieces)}",
                        "name the piece it hangs on",
                    )
                )
            elif any(pieces[holder].pin_when(pin, s) is None for s in (list(pieces[holder].set) or [""])):
                faults.append(
                    Fault(
                        ("pieces", name, "on"),
                        f"{holder!r} has no pin {pin!r}",
                        f"one of {', '.join(pieces[holder].pins) or 'its pins'}",
                        f"set the pin under [pieces.{holder}.pins]",
                    )
                )
        if piece.pin is not None and any(
            piece.pin_when(piece.pin, s) is None for s in (list(piece.set) or [""])
        ):
            faults.append(
                Fault(
                    ("pieces", name, "pin"),
                    f"{name!r} has no pin {piece.pin!r}",
                    f"one of {', '.join(piece.pins) or 'its pins'}",
                    f"set the pin under [pieces.{name}.pins]",
                )
            )
        trail = [name]
        while (on := pieces[trail[-1]].on) is not None and on.split(".")[0] in pieces:
            trail.append(on.split(".")[0])
            if trail[-1] == name:
                faults.append(
                    Fault(
                        ("pieces", name, "on"),
                        f"pieces hang on one another in a ring: {' on '.join(trail)}",
                        "a tree with one root",
                        "let one of them hang on nothing",
                    )
                )
            if trail[-1] in trail[:-1]:
                break
    for i, name in enumerate(character.order):
        if name not in pieces or name in character.order[:i]:
            faults.append(
                Fault(
                    ("order", i),
                    f"{name!r} is {'listed twice' if name in pieces else 'not a piece'}",
                    f"each of {', '.join(pieces)} once",
                    "list the pieces from lowest to highest",
                )
            )
    missing = [name for name in pieces if name not in character.order]
    if character.order and missing:
        faults.append(
            Fault(
                ("order",),
                f"{', '.join(missing)} left out",
                f"each of {', '.join(pieces)} once",
                "list all pieces, or leave `order` out",
            )
        )
    return faults
