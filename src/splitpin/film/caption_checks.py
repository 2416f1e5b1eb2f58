"""What of the captions could not be read, and what to do about it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from splitpin.film.caption_rules import CaptionRules
from splitpin.film.caption_words import letters_of, runs_of
from splitpin.film.captions import Caption, Spoken
from splitpin.measure.rate import exact


class Unread(NamedTuple):
    """A spoken line that cannot be read as it is captioned."""

    spoken: int
    """Which of the spoken lines."""
    found: str
    expected: str
    remedy: str


def unread(
    spoken: Sequence[Spoken], captions: Sequence[Caption], rate: Fraction, rules: CaptionRules | None = None
) -> tuple[Unread, ...]:
    """Every spoken line whose captions break the rules, once, with the worst of it.

    Letters a line, lines, the longest time and overlaps are kept by the way captions are set; what is left is
    what only the board can give: time. A word longer than a line, and captions without a gap, are told too.
    """
    rules = rules or CaptionRules()
    told = []
    for index, line in enumerate(spoken):
        own = [(k, c) for k, c in enumerate(captions) if any(p.spoken == index for p in c.parts)]
        trouble = _time(line, [c for _, c in own], rate, rules) or _gap(own, captions, rules)
        trouble = trouble or _word(line, rules)
        if trouble is not None:
            told.append(Unread(index, *trouble))
    return tuple(told)


def _time(
    line: Spoken, own: Sequence[Caption], rate: Fraction, rules: CaptionRules
) -> tuple[str, str, str] | None:
    if not own:
        found = f"no frame is left to show “{_short(line.text)}”"
        return found, "time for every line that is said", "give the panel more seconds, or say less"
    # A frame less than reading takes is no fault: it is rounding.
    needs = [rules.reading_frames(c.letters, rate) for c in own]
    lacking = sum(max(0, need - (c.end - c.start)) for c, need in zip(own, needs, strict=True))
    if lacking <= len(own) and all(c.end - c.start >= rules.least_frames(rate) for c in own):
        return None
    worst = max(own, key=lambda c: Fraction(c.letters, c.end - c.start))
    shown = Fraction(worst.end - worst.start) / rate
    speed = worst.letters / shown
    more = ceil(lacking / rate * 10) / 10
    fits = floor(sum(c.end - c.start for c in own) / rate * exact(rules.reading))
    tells = f"{worst.letters} letters in {float(shown):.2f} s"
    found = f"“{_short(line.text)}” is captioned too briefly: {tells}"
    if speed > exact(rules.reading):
        found += f", {float(speed):.0f} a second"
    expected = f"at most {rules.reading:g} letters a second, and {rules.shortest:g} s at least"
    remedy = f"give the panel {more:.1f} s more"
    enough = all(c.end - c.start >= rules.least_frames(rate) for c in own)
    if enough and 0 < fits < letters_of(line.text):
        remedy += f", or say it in {fits} letters"
    return found, expected, remedy


def _gap(
    own: Sequence[tuple[int, Caption]], captions: Sequence[Caption], rules: CaptionRules
) -> tuple[str, str, str] | None:
    for k, caption in own:
        if k and caption.start - captions[k - 1].end < rules.gap:
            gap = caption.start - captions[k - 1].end
            found = f"its caption follows the one before after {gap} frames"
            return found, f"{rules.gap} frames between captions", "let it be said a little later"
    return None


def _word(line: Spoken, rules: CaptionRules) -> tuple[str, str, str] | None:
    long = [r for word in line.text.split() for r in runs_of(word) if letters_of(r) > rules.letters]
    if not long:
        return None
    found = f"the word {_short(long[0])!r} has {letters_of(long[0])} letters"
    return found, f"at most {rules.letters} letters a line", "part it with a space or a hyphen and a space"


def _short(text: str) -> str:
    return text if len(text) <= 60 else text[:57] + "…"
