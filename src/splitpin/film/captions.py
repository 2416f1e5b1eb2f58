"""Captions: what is spoken, in pieces that can be read, each on its frames."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate, pairwise
from math import ceil, floor
from typing import NamedTuple

from splitpin.film.caption_rules import CaptionRules
from splitpin.film.caption_split import split
from splitpin.film.caption_words import Bit, letters_of, words_of

DASH = "- "
"""Stands before each of two who speak in one caption."""


class Spoken(NamedTuple):
    """A line that is spoken, and when, in frames of the film that need not be whole."""

    text: str
    speaker: str
    start: Fraction
    end: Fraction
    until: int
    """The frame at which what is seen with it ends: it is not shown on."""
    words: tuple[tuple[Fraction, Fraction], ...] = ()
    """When each word of the text (parted by spaces) is said; empty where nobody knows."""
    scene: str = ""
    panel: str = ""


class Part(NamedTuple):
    """What one speaker says in a caption."""

    speaker: str
    """Empty where nobody is named."""
    lines: tuple[str, ...]
    spoken: int
    """Which of the spoken lines it belongs to."""


class Caption(NamedTuple):
    """What is shown, from frame ``start`` to before frame ``end`` of the film."""

    start: int
    end: int
    parts: tuple[Part, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """As they are set: with a dash before each where two speak."""
        dash = DASH if len(self.parts) > 1 else ""
        return tuple(dash + line if not i else line for p in self.parts for i, line in enumerate(p.lines))

    @property
    def letters(self) -> int:
        """How much there is to read."""
        return letters_of(" ".join(line for part in self.parts for line in part.lines))


class _Piece(NamedTuple):
    start: int
    end: int
    until: int
    parts: tuple[Part, ...]


def captions(
    spoken: Sequence[Spoken], total: int, rate: Fraction, rules: CaptionRules | None = None
) -> tuple[Caption, ...]:
    """Set spoken lines as captions.

    A caption appears when its words are said. It stands as long as it takes to read where there is room
    before the next one and before the end of its scene. Two short lines of two speakers that leave no room
    between them share one caption.

    Parameters
    ----------
    spoken
        In any order.
    total
        Frames of the film.
    rate
        Frames a second.
    rules
        The thresholds; the usual ones when left out.

    Returns
    -------
    tuple of Caption
        In order, none over another; with the gap between them, and within the film, wherever it has that
        many frames.
    """
    rules = rules or CaptionRules()
    order = sorted(range(len(spoken)), key=lambda i: spoken[i].start)
    pieces = [piece for i in order for piece in _pieces(i, spoken[i], rate, rules)]
    pieces = _shared(sorted(pieces, key=lambda p: p.start), rules, rate)
    return _placed([_wished(pieces, i, rate, rules) for i in range(len(pieces))], total, rules.gap)


def _pieces(index: int, line: Spoken, rate: Fraction, rules: CaptionRules) -> list[_Piece]:
    words = words_of(line.text, rules.letters)
    times = line.words if len(line.words) == len(words) else ()
    least = ceil((line.end - line.start) / rules.most_frames(rate)) if times else 1
    chunks = split(words, rules.letters, rules.lines, least)
    if not times:
        times = _by_letters(words, line.start, line.end)
    pieces = []
    for chunk in chunks:
        start, end = floor(times[chunk.first][0]), ceil(times[chunk.end - 1][1])
        part = Part(line.speaker, chunk.lines, index)
        pieces.append(_Piece(start, max(end, start + 1), line.until, (part,)))
    return pieces


def _by_letters(
    words: Sequence[Bit], start: Fraction, end: Fraction
) -> tuple[tuple[Fraction, Fraction], ...]:
    """As if every letter took as long to say."""
    sizes = [letters_of(word.text) + word.spaced for word in words]
    whole = sum(sizes)
    at = [start + (end - start) * s / max(whole, 1) for s in accumulate(sizes, initial=0)]
    return tuple(pairwise(at))


def _shared(pieces: list[_Piece], rules: CaptionRules, rate: Fraction) -> list[_Piece]:
    """Two who speak at once, or so quickly after one another that neither could be read alone."""
    done: list[_Piece] = []
    for piece in pieces:
        before = done[-1] if done else None
        if before is not None and _share(before, piece, rules, rate):
            parts = before.parts + piece.parts
            end, until = max(before.end, piece.end), max(before.until, piece.until)
            done[-1] = _Piece(before.start, end, until, parts)
        else:
            done.append(piece)
    return done


def _share(a: _Piece, b: _Piece, rules: CaptionRules, rate: Fraction) -> bool:
    parts = a.parts + b.parts
    if len(parts) != 2 or rules.lines < 2 or parts[0].speaker == parts[1].speaker:
        return False
    if any(len(p.lines) > 1 or letters_of(DASH + p.lines[0]) > rules.letters for p in parts):
        return False
    if max(a.end, b.end) - a.start > rules.most_frames(rate):
        return False
    return b.start < a.end or b.start - rules.gap - a.start < rules.least_frames(rate)


def _wished(pieces: Sequence[_Piece], i: int, rate: Fraction, rules: CaptionRules) -> Caption:
    """A caption as it would stand by itself, giving way to those beside it."""
    piece = pieces[i]
    caption = Caption(piece.start, piece.end, piece.parts)
    least = rules.least_frames(rate)
    start = piece.start
    if i and start < pieces[i - 1].end + rules.gap:
        # Spoken over one another: the later one waits, as far as it has time to spare.
        start = min(pieces[i - 1].end + rules.gap, max(start, piece.end - least))
    end = max(piece.end, start + rules.reading_frames(caption.letters, rate))
    end = min(end, start + rules.most_frames(rate), max(piece.until, start + 1))
    if i + 1 < len(pieces):
        after = pieces[i + 1]
        waits = min(piece.end + rules.gap, max(after.start, after.end - least))
        end = min(end, max(after.start, waits) - rules.gap)
    return Caption(start, max(end, start + 1), piece.parts)


def _placed(wished: Sequence[Caption], total: int, gap: int) -> tuple[Caption, ...]:
    """What was wished for, moved as little as need be so that none lies over another."""
    forward: list[Caption] = []
    free = 0
    for caption in wished:
        start = max(caption.start, free)
        forward.append(caption._replace(start=start, end=max(caption.end, start + 1)))
        free = forward[-1].end + gap
    placed: list[Caption] = []
    last = total
    for caption in reversed(forward):
        end = min(caption.end, last)
        start = min(caption.start, end - 1)
        if start < 0:  # more captions than frames
            break
        placed.append(caption._replace(start=start, end=end))
        last = start - gap
    return tuple(reversed(placed))
