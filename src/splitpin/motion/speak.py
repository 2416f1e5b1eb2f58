"""speak: a mouth says what is heard."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field, StringConstraints

from splitpin.measure.plain import Name, Number, Plain
from splitpin.motion.channels import member, number, piece, replacement, within_limits
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, MoveError, Span
from splitpin.voice.mouth import Mouth, Shape

PIECES = ("mouth", "jaw")
"""What a mouth is called where nobody says."""

INSTEAD: dict[Shape, tuple[Shape, ...]] = {
    "shut": ("shut",),
    "small": ("small", "open", "round", "shut"),
    "open": ("open", "small", "round", "shut"),
    "round": ("round", "small", "open", "shut"),
}
"""Which of a set shows for each mouth: the first of these that it has."""


class Mouths(Plain):
    """The replacement that shows for each mouth."""

    shut: Name | None = None
    """Lips together."""
    small: Name | None = None
    """Teeth nearly together."""
    open: Name | None = None
    """The jaw down."""
    round: Name | None = None
    """The lips forward."""

    def of(self, shape: Shape) -> str | None:
        """What is said of one mouth."""
        named: str | None = getattr(self, shape)
        return named


class Speak(Move):
    """A mouth speaks a recorded voice, exposure by exposure as its track is read. It starts with the cue that
    plays the sound (with the one in its ``panel``, where it says one), unless it has a ``start`` or comes
    ``after`` something; and lasts as long as the sound and one position more, with the mouth shut. A chin is
    pulled down (``drop``) or turned (``turn``); of a piece with a replacement set, one mouth after the other
    shows. While the sound is not there, the mouth stays shut.
    """

    summary: ClassVar[str] = "A mouth speaks a recorded voice."

    move: Literal["speak"]
    """Which move it is."""
    sound: Annotated[str, StringConstraints(strict=True, min_length=1, max_length=400)]
    """The voice, a file in ``sounds/``."""
    piece: Name | None = None
    """The mouth: ``mouth`` or else ``jaw`` when left out."""
    drop: Annotated[Number, Field(gt=0)] | None = None
    """How far the piece is pulled down when wide open, mm along the head; a piece without a set, 6 when left
    out."""
    turn: Number | None = None
    """Or how far it is turned about its pin, degrees anticlockwise."""
    shows: Mouths = Mouths()
    """Or which of its set shows for each mouth: ``{shut = "m", small = "e", open = "a", round = "o"}``; the
    names ``shut``, ``small``, ``open`` and ``round`` themselves when left out. One mouth stands in for
    another that the set lacks."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``shows`` of the piece, or disturbs its ``y`` or ``angle``; the events ``open`` and ``shut`` each
        time the mouth opens and shuts, and ``gesture`` some frames ahead of a word that stands out.
        """
        of = self._mouth(before)
        mouths = self._mouths(span, before)
        happened = [
            ("shut" if mouth.shape == "shut" else "open", k)
            for k, mouth in enumerate(mouths)
            if (mouth.shape == "shut") != (k == 0 or mouths[k - 1].shape == "shut")
        ]
        if before.reading is not None:
            last = span.exposures - 1
            happened += [("gesture", min(max(0, at // span.on), last)) for at in before.reading.gestures]
        events = happenings(span, *happened)
        known = member(self, before).character.pieces[of].set
        if known and self.drop is None and self.turn is None:
            shown = self._shown(of, before)
            return Motion({f"{of}.shows": tuple(shown[mouth.shape] for mouth in mouths)}, events=events)
        if self.shows != Mouths():
            raise MoveError(
                "shows",
                "a mouth of several replacements that is pulled or turned too"
                if known
                else f"{of!r} has no set",
                "a piece with a replacement set that shows, or `drop`, or `turn`",
                "leave `shows` out, or `drop` and `turn`",
            )
        if self.turn is not None:
            if self.drop is not None:
                raise MoveError("turn", "both drop and turn", "one of the two", "leave one of them out")
            angles = tuple(self.turn * mouth.opening for mouth in mouths)
            rest = number(before, f"{of}.angle")
            within_limits(self, before, of, (rest + angle for angle in angles), "turn")
            return Motion(disturb={f"{of}.angle": angles}, events=events)
        far = 6.0 if self.drop is None else self.drop
        return Motion(disturb={f"{of}.y": tuple(0.0 - far * m.opening for m in mouths)}, events=events)

    def _mouth(self, before: Before) -> str:
        pieces = member(self, before).character.pieces
        if self.piece is None and not any(name in pieces for name in PIECES):
            raise MoveError(
                "piece", f"{self.who!r} has neither a piece 'mouth' nor 'jaw'", "a mouth to speak with",
                f"say which `piece` it is: one of {', '.join(pieces)}",
            )  # fmt: skip
        return piece(self, before, self.piece or next(name for name in PIECES if name in pieces))

    def _mouths(self, span: Span, before: Before) -> list[Mouth]:
        """One mouth a position; the last is shut, so that nobody is left with an open mouth."""
        shut = Mouth(0, span.on, "shut", 0.0)
        mouths = [shut] * span.exposures
        for mouth in () if before.reading is None else before.reading.exposures():
            if 0 <= (k := mouth.frame // span.on) < span.exposures - 1:
                mouths[k] = mouth if mouth.shape != "shut" else shut
        return mouths

    def _shown(self, of: str, before: Before) -> dict[Shape, str]:
        spec = member(self, before).character.pieces[of]
        named = [name for shape in INSTEAD if (name := self.shows.of(shape)) is not None]
        replacement(self, before, of, named)
        there = {shape: self.shows.of(shape) or (shape if shape in spec.set else None) for shape in INSTEAD}
        if not any(there[shape] for shape in INSTEAD if shape != "shut"):
            raise MoveError(
                "shows",
                f"no mouth of {of!r} is called small, open or round",
                "which of the set shows when the mouth is open",
                f'such as `shows = {{shut = "{spec.resting_show}", open = "{list(spec.set)[-1]}"}}`',
            )
        return {
            shape: next((name for s in order if (name := there[s])), spec.resting_show)
            for shape, order in INSTEAD.items()
        }
