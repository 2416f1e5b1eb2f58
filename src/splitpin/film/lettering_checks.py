"""Words on the screen: whether there is time to read them, and whether they lie where screens show them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from splitpin.cutout.cutout import Cutout
from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.film.caption_rules import CaptionRules
from splitpin.film.caption_words import letters_of
from splitpin.frames.caption import SAFE
from splitpin.measure.affine import Affine
from splitpin.measure.rate import exact
from splitpin.measure.table import Stage
from splitpin.sheet.seen import within
from splitpin.sheet.sheet import Sheet

BEFORE_AND_AFTER = 2
"""Seconds besides reading: one before and one after (Braha & Byrne, Creative Motion Graphic Titling)."""


class Unreadable(NamedTuple):
    """Words that cannot be read as they are shown."""

    who: str
    """The member of the cast that they are of."""
    panel: str
    found: str
    expected: str
    remedy: str


class _Sight(NamedTuple):
    who: str
    cutout: str
    panel: str
    frame: int
    frames: int
    matrix: Affine


def reading_seconds(text: str, rules: CaptionRules) -> Fraction:
    """How long a title stands: reading time, and a second at each end."""
    return Fraction(letters_of(" ".join(text.split()))) / exact(rules.reading) + BEFORE_AND_AFTER


def unreadable(
    sheet: Sheet,
    stage: Stage,
    cutouts: Mapping[str, Cutout],
    letters: Mapping[str, LettersRecipe],
    rules: CaptionRules,
) -> tuple[Unreadable, ...]:
    """Look through a scene's rows for words that are gone too soon, or lie too near the edge of the picture.

    Parameters
    ----------
    sheet
        The scene's rows.
    stage
        The picture over the field.
    cutouts
        The cut-outs' sizes.
    letters
        The recipes of those that are words.
    rules
        How quickly people read.

    Notes
    -----
    What moves may cross the edge: it comes and goes. What stands still there stays unseen.
    """
    told: list[Unreadable] = []
    seen = list(_seen(sheet, stage, cutouts, letters))
    for who, cutout in dict.fromkeys((s.who, s.cutout) for s in seen):
        recipe = letters[cutout]
        if not recipe.read:
            continue
        own = [s for s in seen if (s.who, s.cutout) == (who, cutout)]
        told += _too_short(sheet, own, recipe, rules)
        told += _outside(own, stage, cutouts[cutout], recipe)
    return tuple(told)


def _seen(
    sheet: Sheet, stage: Stage, cutouts: Mapping[str, Cutout], letters: Mapping[str, LettersRecipe]
) -> Iterator[_Sight]:
    for row in sheet.rows:
        for placed in row.placed:
            if placed.cutout not in letters or placed.cutout not in cutouts:
                continue
            matrix = placed.matrix.then(stage.to_pixels(row.view))
            size = cutouts[placed.cutout]
            if within(matrix, size.width, size.height, stage):
                yield _Sight(placed.who, placed.cutout, row.panel, row.frame, row.frames, matrix)


def _too_short(
    sheet: Sheet, own: Sequence[_Sight], recipe: LettersRecipe, rules: CaptionRules
) -> Iterator[Unreadable]:
    runs: list[tuple[int, int]] = []
    for sight in own:
        if runs and runs[-1][1] == sight.frame:
            runs[-1] = (runs[-1][0], sight.frame + sight.frames)
        else:
            runs.append((sight.frame, sight.frame + sight.frames))
    longest = max(end - start for start, end in runs)
    needed = reading_seconds(recipe.text, rules)
    lacking = needed - longest / sheet.rate
    if lacking > 1 / sheet.rate:
        more = ceil(lacking * 10) / 10
        yield Unreadable(
            own[0].who,
            own[0].panel,
            f"“{_short(recipe.text)}” can be seen for {float(longest / sheet.rate):.1f} s",
            f"{float(needed):.1f} s: reading time and a second at each end",
            f"show it {more:.1f} s longer, or write `read = false` in its recipe if it need not be read",
        )


def _outside(
    own: Sequence[_Sight], stage: Stage, size: Cutout, recipe: LettersRecipe
) -> Iterator[Unreadable]:
    inset = 0.0 if recipe.paper is None else recipe.margin_mm * recipe.ppi / 25.4
    inset = min(inset, size.width / 2, size.height / 2)
    corners = [(x, y) for x in (inset, size.width - inset) for y in (inset, size.height - inset)]
    for k, sight in enumerate(own):
        beside = [*own[max(0, k - 1) : k], *own[k + 1 : k + 2]]
        if beside and not any(other.matrix == sight.matrix for other in beside):
            continue
        places = [sight.matrix.apply(x, y) for x, y in corners]
        over = max(
            max(SAFE - x / stage.width, x / stage.width - 1 + SAFE, SAFE - y / stage.height,
                y / stage.height - 1 + SAFE)
            for x, y in places
        )  # fmt: skip
        if over > 0.001:
            yield Unreadable(
                sight.who,
                sight.panel,
                f"“{_short(recipe.text)}” reaches into the outer {SAFE:.0%} of the picture",
                f"words within {1 - 2 * SAFE:.0%} of its width and height, which every screen shows",
                "make it smaller, break its lines with `widest_mm`, or move it towards the middle",
            )
            return


def _short(text: str) -> str:
    words = " ".join(text.split())
    return words if len(words) <= 40 else words[:37] + "…"
