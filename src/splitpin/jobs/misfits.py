"""Outlets that a film cannot be given, known before anything is made."""

from __future__ import annotations

from collections.abc import Mapping

from splitpin.film.conform import ConformError, conform
from splitpin.film.document import Film
from splitpin.film.outlet import AnyOutlet, LoopOutlet, MasterOutlet, TimelineOutlet
from splitpin.folder.mistake import Mistake
from splitpin.measure.likely import likely
from splitpin.measure.timecode import frame_of


def misfits(film: Film, outlets: Mapping[str, AnyOutlet]) -> list[Mistake]:
    """What is wrong with outlets in view of the film.

    Parameters
    ----------
    film
        The film.
    outlets
        Its own, or standard ones, by name.
    """
    return [
        mistake for name, outlet in outlets.items() if (mistake := _misfit(film, name, outlet)) is not None
    ]


def _misfit(film: Film, name: str, outlet: AnyOutlet) -> Mistake | None:
    shown = film.exact_rate
    if isinstance(outlet, MasterOutlet):
        shown = outlet.shown_at(film.exact_rate)
        try:
            conform(film.exact_rate, shown)
        except ConformError as problem:
            return _mistake(name, problem.found, problem.expected, problem.remedy)
    if isinstance(outlet, LoopOutlet) and outlet.scene is not None and outlet.scene not in film.scenes:
        return _mistake(
            name,
            f"{outlet.scene!r} is not a scene of the film",
            "one of `scenes`",
            likely(outlet.scene, film.scenes),
        )
    if isinstance(outlet, (MasterOutlet, TimelineOutlet)):
        try:
            frame_of(outlet.timecode, shown)
        except ValueError as problem:
            found, _, expected = str(problem).partition("; expected ")
            return _mistake(name, found, expected, "write `timecode` so, or leave it out")
    return None


def _mistake(name: str, found: str, expected: str, remedy: str) -> Mistake:
    return Mistake("film.toml", None, f"outlet {name}: {found}", expected, remedy)
