"""Scenes in which nothing is heard."""

from __future__ import annotations

from collections.abc import Iterator

from splitpin.sheet.forecast.known import Foreseen, Known


def silent(known: Known) -> Iterator[Foreseen]:
    """The scene, when nothing at all is heard in it."""
    if not known.heard:
        seconds = float(known.sheet.frames / known.sheet.rate)
        words = (
            f"nothing is heard in all its {seconds:.1f} s",
            "a sound, if only the air of the place",
            "hang a sound on it, or let one of the film's run through it",
        )
        yield known.tell("silent", known.sheet.rows[0], None, words, seconds=seconds)
