"""Screen a film file for flashes."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.device.film_reader import FilmAhead, ReadFrame, film_reader
from splitpin.device.pictures import write_png
from splitpin.film.flash_picture import flash_picture
from splitpin.film.flash_plot import flash_svg
from splitpin.film.flashing import SHARE, Flashing, Kind, Screening, Seen, Span, Verdict, advice, grid
from splitpin.folder.save import write_whole
from splitpin.jobs.shop import Progress

WIDEST = 960
"""Pixels across the pictures of the worst frames."""
MOST = 12
"""Pictures that are kept: of the spans that flash over the largest area."""
NOTICE = "a screening, which is guidance and no certificate"


class Worst(NamedTuple):
    """The frame of a span at which most of it flashes."""

    picture: NDArray[np.uint8]
    """uint8 (h, w, 3), sRGB, at most :data:`WIDEST` wide."""
    area: NDArray[np.bool_]
    """The cells that flash, in a grid over the picture."""


class Screened(NamedTuple):
    """A film after its screening."""

    film: FilmAhead
    verdict: Verdict
    worst: dict[Span, Worst]
    """Of at most :data:`MOST` spans."""

    @property
    def passed(self) -> bool:
        """Whether nothing was found."""
        return self.verdict.passed

    @property
    def advice(self) -> tuple[str, ...]:
        """What would help."""
        return advice(self.verdict, self.film.rate)


def screen(movie: Path, progress: Progress | None = None) -> Screened:
    """Screen a film file from start to end, whatever made it; memory does not grow with its length.

    Parameters
    ----------
    movie
        The file.
    progress
        Told now and then how many frames are done, of about how many.

    Raises
    ------
    FolderError
        When it is no film, or is spoilt.
    """
    with film_reader(movie) as reader:
        columns, rows = grid(reader.ahead.width, reader.ahead.height)
        screening = Screening(columns, rows)
        keeper = _Keeper(reader.ahead)
        end = Fraction(0)
        for number, frame in enumerate(reader.frames()):
            moment = screening.see(Seen(frame.small(columns, rows), frame.time))
            keeper.see("general", moment.frame, moment.general, frame, screening)
            keeper.see("red", moment.frame, moment.red, frame, screening)
            end = frame.time + frame.lasts
            if progress is not None and number % 24 == 0:
                progress(number, max(reader.ahead.frames, number))
        verdict = screening.finish(end)
        if progress is not None:
            progress(verdict.frames, verdict.frames)
    found = {span: keeper.kept.get((span.kind, span.worst)) for span in verdict.spans}
    return Screened(reader.ahead, verdict, {span: worst for span, worst in found.items() if worst})


def write_screened(screened: Screened, title: str, folder: Path) -> tuple[Path, ...]:
    """Write what can be looked at: the plot, and of each span its worst frame and where in it it flashes.

    Parameters
    ----------
    screened
        What was found.
    title
        The heading of the plot.
    folder
        Where to; it is made.

    Returns
    -------
    tuple of Path
        The files, the plot first.
    """
    folder.mkdir(parents=True, exist_ok=True)
    files = [folder / "flashes.svg"]
    write_whole(files[0], flash_svg(title, screened.verdict).encode())
    for span, worst in screened.worst.items():
        name = f"{span.kind}-{span.worst:06d}"
        for end, picture in (("frame", worst.picture), ("area", flash_picture(worst.picture, worst.area))):
            files.append(folder / f"{name}-{end}.png")
            write_png(files[-1], picture)
    return tuple(files)


def screened_as_data(screened: Screened) -> dict[str, object]:
    """What a screening found, for machines."""
    verdict = screened.verdict
    return {
        "passed": verdict.passed,
        "frames": verdict.frames,
        "seconds": round(float(verdict.seconds), 6),
        "rate": f"{screened.film.rate.numerator}/{screened.film.rate.denominator}",
        "most_flashes_in_a_second": {
            kind: float(n.max(initial=0)) / 2 for kind, n in verdict.flashes.items()
        },
        "general": [_span(span) for span in verdict.spans if span.kind == "general"],
        "red": [_span(span) for span in verdict.spans if span.kind == "red"],
        "advice": list(screened.advice),
        "notice": NOTICE,
    }


def told_spans(spans: Sequence[Span]) -> list[str]:
    """Each span in words."""
    return [
        f"{span.kind} flashes from {float(span.start):.2f} s to {float(span.end):.2f} s "
        f"(frames {span.first} to {span.last}): up to {span.changes / 2:g} in a second, "
        f"over {span.share:.0%} of a field"
        for span in spans
    ]


def _span(span: Span) -> dict[str, object]:
    return {
        "start_frame": span.first,
        "end_frame": span.last,
        "start_seconds": round(float(span.start), 6),
        "end_seconds": round(float(span.end), 6),
        "changes_in_a_second": span.changes,
        "share_of_field": round(span.share, 4),
        "worst_frame": span.worst,
    }


class _Keeper:
    """Holds the picture of the worst frame of each span, as long as there are few."""

    def __init__(self, film: FilmAhead) -> None:
        width = min(WIDEST, film.width)
        self._size = width, max(1, round(film.height * width / film.width))
        self._best: dict[Kind, float] = {"general": SHARE, "red": SHARE}
        self._latest: dict[Kind, int] = {}
        self._shares: dict[tuple[Kind, int], float] = {}
        self.kept: dict[tuple[Kind, int], Worst] = {}

    def see(self, kind: Kind, number: int, found: Flashing, frame: ReadFrame, screening: Screening) -> None:
        """Keep this frame if it is the worst so far of a span that goes on."""
        if found.share <= SHARE:
            self._best[kind] = SHARE
            self._latest.pop(kind, None)
            return
        if found.share <= self._best[kind]:
            return
        self._best[kind] = found.share
        before = self._latest.pop(kind, None)
        if before is not None:
            self._drop((kind, before))
        self._latest[kind] = number
        self._shares[kind, number] = found.share
        self.kept[kind, number] = Worst(frame.small(*self._size), screening.area(kind))
        if len(self.kept) > MOST:
            self._drop(min(self._shares, key=lambda key: self._shares[key]))

    def _drop(self, key: tuple[Kind, int]) -> None:
        self.kept.pop(key, None)
        self._shares.pop(key, None)
