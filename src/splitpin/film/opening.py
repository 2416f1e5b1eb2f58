"""What a film file may open with before the film: bars and tone, a slate, a leader.

All lengths are whole seconds of the time code, so that the film begins on the label that it should. The ways
are common practice; the lengths of bars and slate are our choice.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal, NamedTuple

from splitpin.measure.rate import format_rate, samples_of, seconds_of
from splitpin.measure.timecode import frames_in_label, label_of

Opens = Literal["bars", "slate", "leader"]

ORDER: tuple[Opens, ...] = ("bars", "slate", "leader")
SECONDS: dict[Opens, int] = {"bars": 10, "slate": 5, "leader": 8}
"""How long each is. [T] but for the leader, whose last figure stands two seconds before the film."""
COUNTED = (8, 7, 6, 5, 4, 3)
"""The figures of the leader, a second each."""
POP = 2
"""Seconds before the film: one frame with the last figure and a short tone; then black and silence."""
TURN_ON = 2
"""Frames for which the leader's hand stays where it is."""
EUROPEAN, OTHER = -18.0, -20.0
"""Alignment level, dBFS: EBU R 68 at 25 frames a second, SMPTE RP 155 elsewhere; both from memory."""


class Part(NamedTuple):
    """One thing that a file opens with."""

    what: Opens
    frames: int


class Opening(NamedTuple):
    """All that comes before the film."""

    parts: tuple[Part, ...]
    rate: Fraction
    """Frames a second of the file."""

    @property
    def frames(self) -> int:
        """How long it is."""
        return sum(part.frames for part in self.parts)

    @property
    def samples(self) -> int:
        """How long its sound is."""
        return samples_of(self.frames, self.rate)

    @property
    def level(self) -> float:
        """How loud tones are: the peak of the wave, dBFS."""
        return EUROPEAN if self.rate == 25 else OTHER

    @property
    def tones(self) -> tuple[tuple[int, int], ...]:
        """First sample of each tone, and the first after it."""
        found: list[tuple[int, int]] = []
        at = 0
        for part in self.parts:
            if part.what == "bars":
                found.append((at, at + part.frames))
            if part.what == "leader":
                pop = at + part.frames - POP * frames_in_label(self.rate)
                found.append((pop, pop + 1))
            at += part.frames
        return tuple((samples_of(a, self.rate), samples_of(b, self.rate)) for a, b in found)

    @property
    def tone(self) -> str:
        """What the tone is, in words; empty when there is none."""
        return f"1 kHz at {self.level:.0f} dBFS".replace("-", "−") if self.tones else ""

    @property
    def told(self) -> str:
        """What it is, in words; empty for none."""
        if not self.parts:
            return ""
        names = [part.what for part in self.parts]
        listed = " and ".join(filter(None, [", ".join(names[:-1]), names[-1]]))
        seconds = self.frames // frames_in_label(self.rate)
        tone = f", tone of {self.tone}" if self.tones else ""
        return f"opens with {listed}, {seconds} s{tone}"


class Figure(NamedTuple):
    """What is seen of the leader for some frames."""

    figure: int | None
    """None for black."""
    turn: Fraction
    """Where the hand points: 0 is up, growing clockwise to 1."""
    frames: int


def opening(opens: Sequence[Opens], rate: Fraction) -> Opening:
    """Plan what a file opens with.

    Parameters
    ----------
    opens
        What is wanted, in any order: bars come before the slate, and the leader comes last.
    rate
        Frames a second of the file.
    """
    base = frames_in_label(rate)
    return Opening(tuple(Part(what, SECONDS[what] * base) for what in ORDER if what in opens), rate)


def leader(rate: Fraction) -> tuple[Figure, ...]:
    """The leader from its start to the film."""
    base = frames_in_label(rate)
    turning = tuple(
        Figure(figure, Fraction(frame, base), min(TURN_ON, base - frame))
        for figure in COUNTED
        for frame in range(0, base, TURN_ON)
    )
    return (*turning, Figure(POP, Fraction(0), 1), Figure(None, Fraction(0), POP * base - 1))


def slate_lines(
    frames: int,
    rate: Fraction,
    picture: tuple[int, int],
    sound: str,
    tone: str,
    first: str,
    date: str,
    revision: str,
) -> tuple[tuple[str, str], ...]:
    """What the slate says below the title: what, and how it is.

    Parameters
    ----------
    frames, rate
        Of the film, as the file shows it.
    picture
        Width and height, pixels.
    sound, tone
        Its sound, and the tone before it, in words.
    first
        The time code of the film's first frame; empty where the file has none.
    date, revision
        As somebody gave them; what is empty is not on the slate.
    """
    length = f"{label_of(frames, rate)}  ({float(seconds_of(frames, rate)):.2f} s, {frames} frames)"
    named = str(rate) if rate.denominator == 1 else format_rate(rate)
    lines = (
        ("length", length),
        ("picture", f"{picture[0]} × {picture[1]}, {named} frames a second"),
        ("sound", sound),
        ("tone", tone),
        ("first frame", first),
        ("revision", revision),
        ("date", date),
    )
    return tuple((what, how) for what, how in lines if how)
