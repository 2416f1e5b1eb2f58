"""What happens in a move, for cues to hang on."""

from __future__ import annotations

from splitpin.motion.move import Span

Happening = tuple[str, int]


def happenings(span: Span, *more: Happening) -> tuple[Happening, ...]:
    """The events of a move in the order of time: ``start`` and ``end``, which every move has, and its own.

    >>> happenings(Span(0, 8, 2), ("landing", 2))
    (('start', 0), ('landing', 2), ('end', 3))
    """
    inner = sorted(more, key=lambda happening: happening[1])
    return (("start", 0), *inner, ("end", span.exposures - 1))
