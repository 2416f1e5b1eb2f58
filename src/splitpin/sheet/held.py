"""Holds: single exposures that the camera stays on for longer, or for shorter, than the moves say.

Moves are worked out as if nothing were held; then what comes after a hold comes so much later.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate

from splitpin.measure.fault import Fault
from splitpin.scene.scene import Panel
from splitpin.sheet.sheet import Row, Sheet, Sounding
from splitpin.sheet.timing import MOST_FRAMES, PanelSpan, Timing


def planned(panels: Sequence[Panel], final: Timing) -> tuple[Timing, list[Fault]]:
    """The clock of the moves: that of the board without what is held.

    Parameters
    ----------
    panels
        The board.
    final
        Its clock, in which holds count.
    """
    spans: list[PanelSpan] = []
    faults: list[Fault] = []
    start = 0
    for i, (panel, span) in enumerate(zip(panels, final.panels, strict=True)):
        frames = span.frames - panel.held
        if not 1 <= frames <= MOST_FRAMES - start:
            found = f"holds of {panel.held} frames in a panel of {span.frames}"
            faults.append(
                Fault(("panels", i, "holds"), found, "fewer than it has", "make it longer, or take holds out")
            )
            frames = span.frames
        spans.append(PanelSpan(span.name, start, frames))
        start += frames
    return final._replace(panels=tuple(spans)), faults


def as_planned(sheet: Sheet, panels: Sequence[Panel]) -> tuple[int, ...]:
    """The first frame of each row as moves count it: as if nothing were held.

    Parameters
    ----------
    sheet
        The sheet as it is shown.
    panels
        The board.
    """
    starts: dict[str, int] = {}
    start = 0
    for panel, (name, _, frames) in zip(panels, sheet.panels, strict=True):
        starts[name] = start
        start += frames - panel.held
    return tuple(starts[row.panel] + row.since for row in sheet.rows)


def held(sheet: Sheet, panels: Sequence[Panel]) -> tuple[Sheet, list[Fault]]:
    """A sheet with its exposures held as the board says.

    Parameters
    ----------
    sheet
        The sheet as if nothing were held.
    panels
        The board.

    Returns
    -------
    tuple
        The sheet, whose length is the board's; as it was, where a hold cannot be.
    """
    longer, faults = _longer(sheet, panels)
    if faults:
        return sheet, faults
    frames = [row.frames + longer[n] for n, row in enumerate(sheet.rows)]
    starts = list(accumulate(frames, initial=0))
    plan = [row.frame for row in sheet.rows]

    def at(time: Fraction) -> Fraction:
        if time < 0:
            return time
        if time >= sheet.frames:
            return time + starts[-1] - sheet.frames
        n = bisect_right(plan, time) - 1
        return starts[n] + min(time - plan[n], Fraction(frames[n]))

    def later(soundings: Sequence[Sounding]) -> tuple[Sounding, ...]:
        return tuple(s._replace(at=at(s.at), until=at(s.until)) for s in soundings)

    rows: list[Row] = []
    left: Row | None = None
    for n, row in enumerate(sheet.rows):
        told = row
        if left is not None:  # what an exposure told that is taken out, the next one tells
            told = row._replace(sounds=(*left.sounds, *row.sounds), note=left.note or row.note)
        left = told if frames[n] == 0 else None
        if left is None:
            rows.append(told._replace(frame=starts[n], frames=frames[n], longer=longer[n]))
    spans = list(
        accumulate(
            (span[2] + panel.held for span, panel in zip(sheet.panels, panels, strict=True)), initial=0
        )
    )
    done = sheet._replace(
        frames=starts[-1],
        rows=tuple(rows),
        events=tuple(event._replace(frame=int(at(Fraction(event.frame)))) for event in sheet.events),
        soundings=later(sheet.soundings),
        unheard=later(sheet.unheard),
        panels=tuple(
            (name, start, end - start)
            for (name, _, _), start, end in zip(sheet.panels, spans, spans[1:], strict=False)
        ),
        reports=(*sheet.reports, *_mouths_late(sheet, longer, starts)),
    )
    return done, []


def _longer(sheet: Sheet, panels: Sequence[Panel]) -> tuple[Counter[int], list[Fault]]:
    """How many more frames each row is held, by its place."""
    plan = [row.frame for row in sheet.rows]
    longer: Counter[int] = Counter()
    faults: list[Fault] = []
    for i, (panel, (_, start, frames)) in enumerate(zip(panels, sheet.panels, strict=True)):
        for j, hold in enumerate(panel.holds):
            path = ("panels", i, "holds", j)
            if hold.frame >= frames:
                found = f"frame {hold.frame} of panel {panel.name}, whose moves have {frames}"
                remedy = "hold an exposure that is there"
                faults.append(Fault((*path, "frame"), found, f"0 to {frames - 1}", remedy))
                continue
            n = bisect_right(plan, start + hold.frame) - 1
            longer[n] += hold.longer
            if (least := sheet.rows[n].frames) + longer[n] < 0:
                found = f"{-longer[n]} frames fewer for an exposure of {least}"
                faults.append(Fault((*path, "longer"), found, f"at least {-least}", f"-{least} takes it out"))
    return longer, faults


def _mouths_late(sheet: Sheet, longer: Counter[int], starts: Sequence[int]) -> list[str]:
    """Holds in the middle of what a mouth says: the sound does not wait for them."""
    reports = []
    for n in sorted(n for n, more in longer.items() if more and n + 1 < len(sheet.rows)):
        speaking = {said.who for said in sheet.rows[n].says if said.shape}
        after = [said.who for said in sheet.rows[n + 1].says if said.shape and said.who in speaking]
        if after:
            way = "later" if longer[n] > 0 else "earlier"
            reports.append(
                f"{after[0]} is held on frame {starts[n]} while it speaks: "
                f"its mouth comes {abs(longer[n])} frames {way} than the voice"
            )
    return reports
