"""Screening a film for flashes that can bring on seizures. It is guidance, never a certificate.

Rules: WCAG 2.2, success criterion 2.3.1, and ITU-R BT.1702-3. More than three flashes within a second fail,
where the parts that flash at the same time take more than a quarter of any field of ten degrees. The field of
WCAG is 341 x 256 pixels of 1024 x 768: a third of the width by a third of the height, and that is what is
taken here whatever the shape of the picture. It is the stricter of the two rules: where flashes take more
than a quarter of the whole screen, as BT.1702 counts, some such field is more than a quarter full.

A flash is a pair of opposing changes; more than three are seven changes, each against the one before, of
which the last comes less than one second after the first. A change counts where more than a quarter of a
field makes it together, and where it is not balanced by as much that goes the other way nearby: an edge that
passes, as in a pan, changes a place without being a flash.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.film.flash_cells import Cells
from splitpin.film.flash_turns import Turns

CHANGES = 7
"""Alternating changes within less than a second that are more than three flashes."""
SHARE = 0.25
"""Of a field: what must be gone beyond."""
FIELD = 3
"""A field is one part of so many of the picture's width, and of its height."""
TOGETHER = Fraction(1, 12)
"""Seconds within which changes are made together. Our choice: two frames of 24."""
COLUMNS = 320
"""Cells across a picture, each the mean of its pixels; a narrower picture has one for each pixel."""

Kind = Literal["general", "red"]


class Seen(NamedTuple):
    """A frame, reduced to cells."""

    cells: NDArray[np.uint8]
    """uint8 (rows, columns, 3), sRGB."""
    time: Fraction
    """Seconds, when it is shown."""


class Flashing(NamedTuple):
    """How it flashes at a frame."""

    changes: int
    """Changes within the last second, in the field where most count."""
    share: float
    """The largest part of a field, 0 to 1, that had so many changes as fail; 0 while there are none."""


class Moment(NamedTuple):
    """A frame after it was screened."""

    frame: int
    time: Fraction
    general: Flashing
    red: Flashing


class Span(NamedTuple):
    """Too many flashes: from the first change to the last."""

    kind: Kind
    first: int
    """Frame of the first change."""
    last: int
    """Frame of the last change."""
    start: Fraction
    """Seconds."""
    end: Fraction
    """Seconds, when that frame is taken away."""
    changes: int
    """The most changes within a second."""
    share: float
    """The largest part of a field, 0 to 1."""
    worst: int
    """The frame at which that part is largest."""


class Verdict(NamedTuple):
    """The result of a screening."""

    frames: int
    seconds: Fraction
    spans: tuple[Span, ...]
    flashes: dict[Kind, NDArray[np.uint8]]
    """Changes within the second that ends with each frame: uint8 (frames,)."""
    times: NDArray[np.float64]
    """Seconds at which each frame is shown."""

    @property
    def passed(self) -> bool:
        """Whether nothing was found."""
        return not self.spans


def grid(width: int, height: int) -> tuple[int, int]:
    """Columns and rows of the cells of a picture.

    >>> grid(1920, 1080)
    (320, 180)
    """
    columns = min(COLUMNS, width)
    return columns, max(1, round(height * columns / width))


class Screening:
    """Looks at a film frame by frame; but for three numbers a frame, what it remembers does not grow."""

    def __init__(self, columns: int, rows: int) -> None:
        self._cells = Cells(rows, columns)
        field = max(1, round(columns / FIELD)), max(1, round(rows / FIELD))
        self._turns: dict[Kind, Turns] = {
            "general": Turns(rows, columns, field, SHARE),
            "red": Turns(rows, columns, field, SHARE),
        }
        self._second: deque[tuple[int, Fraction]] = deque()
        self._frames = 0
        self._counts: dict[Kind, list[int]] = {"general": [], "red": []}
        self._times: list[float] = []
        self._open: dict[Kind, Span] = {}
        self._spans: list[Span] = []

    def see(self, seen: Seen) -> Moment:
        """Screen the next frame; frames come in the order in which they are shown."""
        frame, now = self._frames, seen.time
        self._shown_until(now)
        self._second.append((frame, now))
        while now - self._second[0][1] >= 1:
            self._second.popleft()
        together = next(n for n, time in self._second if now - time < TOGETHER)
        self._cells.see(seen.cells)
        self._turns["general"].see(self._cells.general, frame, together, self._second[0][0])
        self._turns["red"].see(self._cells.red, frame, together, self._second[0][0])
        self._frames += 1
        self._times.append(float(now))
        moment = Moment(frame, now, self._flashing("general"), self._flashing("red"))
        self._note("general", moment, moment.general)
        self._note("red", moment, moment.red)
        return moment

    def area(self, kind: Kind) -> NDArray[np.bool_]:
        """The cells that flash too often after the latest frame."""
        return self._turns[kind].counts >= CHANGES

    def finish(self, end: Fraction) -> Verdict:
        """The result, when the last frame is taken away at ``end``."""
        self._shown_until(end)
        self._close("general")
        self._close("red")
        spans = tuple(sorted(self._spans, key=lambda span: (span.first, span.kind)))
        flashes = {kind: np.array(counts, np.uint8) for kind, counts in self._counts.items()}
        return Verdict(self._frames, end, spans, flashes, np.array(self._times))

    def _flashing(self, kind: Kind) -> Flashing:
        turns = self._turns[kind]
        most = int(turns.counts.max())
        share = turns.share(turns.counts >= CHANGES) if most >= CHANGES else 0.0
        for changes in range(most, 0, -1):
            if turns.share(turns.counts >= changes) > SHARE:
                return Flashing(changes, share)
        return Flashing(0, share)

    def _note(self, kind: Kind, moment: Moment, found: Flashing) -> None:
        self._counts[kind].append(found.changes)
        if found.share <= SHARE:
            self._close(kind)
            return
        span = self._open.get(kind)
        if span is None:
            first, start = self._first(kind)
            span = Span(kind, first, first, start, moment.time, 0, 0.0, moment.frame)
        worse = found.share > span.share
        last = int(self._turns[kind].since(1)[self.area(kind)].max())
        self._open[kind] = span._replace(
            last=max(span.last, last),
            changes=max(span.changes, found.changes),
            share=max(span.share, found.share),
            worst=moment.frame if worse else span.worst,
        )

    def _first(self, kind: Kind) -> tuple[int, Fraction]:
        flashing = self.area(kind)
        first = int(self._turns[kind].since(CHANGES)[flashing].min())
        return first, next(time for frame, time in self._second if frame >= first)

    def _shown_until(self, now: Fraction) -> None:
        """The latest frame is shown until now."""
        for kind, span in self._open.items():
            if span.last == self._frames - 1:
                self._open[kind] = span._replace(end=now)

    def _close(self, kind: Kind) -> None:
        span = self._open.pop(kind, None)
        if span is None:
            return
        before = next((s for s in reversed(self._spans) if s.kind == kind), None)
        if before is not None and span.first <= before.last:
            self._spans.remove(before)
            worst = span if span.share > before.share else before
            span = span._replace(
                first=before.first, start=before.start, changes=max(span.changes, before.changes),
                share=worst.share, worst=worst.worst,
            )  # fmt: skip
        self._spans.append(span)


def screened(frames: Iterable[Seen], end: Fraction) -> Verdict:
    """Screen a whole film that is at hand as cells; see :class:`Screening`.

    Parameters
    ----------
    frames
        In the order in which they are shown, all of one size.
    end
        Seconds at which the last one is taken away.
    """
    flow: Iterator[Seen] = iter(frames)
    first = next(flow, None)
    if first is None:
        none = np.zeros(0, np.uint8)
        return Verdict(0, end, (), {"general": none, "red": none}, np.zeros(0))
    rows, columns = first.cells.shape[:2]
    screening = Screening(columns, rows)
    screening.see(first)
    for seen in flow:
        screening.see(seen)
    return screening.finish(end)


def advice(verdict: Verdict, rate: Fraction) -> tuple[str, ...]:
    """What would help, in words.

    Parameters
    ----------
    verdict
        A screening that found something; nothing is said of one that did not.
    rate
        Frames a second.
    """
    if verdict.passed:
        return ()
    # Seven changes, each held for so many frames, take six holds from the first to the last.
    hold = -(-rate.numerator // (6 * rate.denominator))
    said = [f"hold each state for {hold} frames or more: at {float(rate):g} a second that is three flashes"]
    if any(span.kind == "general" for span in verdict.spans):
        said.append("bring light and dark nearer: below a tenth of full luminance apart nothing is counted")
    if any(span.kind == "red" for span in verdict.spans):
        said.append("mute the red, or take its counterpart nearer to it in colour")
    said.append(
        "let less of the picture flash: at most a quarter of a third of its width by a third of its height"
    )
    return tuple(said)
