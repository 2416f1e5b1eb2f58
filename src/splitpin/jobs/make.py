"""Make the film: every outlet, at the cost of what has changed since the last time."""

from __future__ import annotations

from collections.abc import Callable, Sequence, Sized
from math import inf
from pathlib import Path
from typing import NamedTuple

from splitpin.device.beside import sweep
from splitpin.device.lock import alone_in
from splitpin.film.outlet import STANDARD, AnyOutlet
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.jobs.alike import lines_of
from splitpin.jobs.leftover import left_over
from splitpin.jobs.misfits import misfits
from splitpin.jobs.names import clashes, outlets_of, path_of
from splitpin.jobs.outlet_screening import screening_of
from splitpin.jobs.outlets import order as ordered
from splitpin.jobs.ready import Ready, RefusedError, ready
from splitpin.jobs.shop import Counts, MadeOutlet, Order, Progress, Shop
from splitpin.jobs.sounding import Sounding, sounding
from splitpin.jobs.voices import VOICES
from splitpin.jobs.workers import cores, run_all
from splitpin.measure.likely import likely
from splitpin.measure.rate import seconds_of


class Made(NamedTuple):
    """What was made."""

    outlets: tuple[MadeOutlet, ...]
    frames: int
    seconds: float
    warnings: tuple[str, ...]
    """One line each: what a person should look at, and where."""
    counts: Counts

    @property
    def files(self) -> tuple[Path, ...]:
        """Everything that was made."""
        return tuple(file for outlet in self.outlets for file in outlet.files)

    @property
    def loudness(self) -> float:
        """Integrated loudness of the first outlet with sound, LUFS; minus infinity for silence."""
        return next((o.loudness for o in self.outlets if o.loudness is not None), -inf)

    @property
    def true_peak(self) -> float:
        """True peak of the first outlet with sound, dBTP."""
        return next((o.true_peak for o in self.outlets if o.true_peak is not None), -inf)


def make(
    root: Path,
    outlets: Sequence[str] | None = None,
    scenes: Sequence[str] | None = None,
    workers: int | None = None,
    progress: Progress | None = None,
    doing: Callable[[str], None] | None = None,
) -> Made:
    """Make a film.

    What was made before and still holds is taken as it is. An interrupt from the keyboard leaves what is
    finished, and the next run goes on from there.

    Parameters
    ----------
    root
        The film folder; what is made goes to ``made/`` in it.
    outlets
        Names of outlets in ``film.toml``, all of them when left out; or of standard ones
        (:data:`splitpin.film.outlet.STANDARD`), which need not stand there.
    scenes
        Scenes of the film, made as a film of their own; all when left out.
    workers
        How many segments are worked on at a time; one for each core when left out. What is made does not
        depend on it.
    progress
        Told now and then how many frames are done.
    doing
        Told in a few words what is being done, whenever that changes.

    Raises
    ------
    FolderError
        When what is asked for makes no sense: an empty list, a word instead of a list, no workers.
    RefusedError
        With every mistake in the folder, when there is one; when the film is being made already; and when a
        file cannot be read or written.
    """
    _sensible(outlets, scenes, workers)
    tell = doing or (lambda _: None)
    tell("reading the folder")
    prepared = ready(root, scenes)
    chosen = _chosen(prepared, outlets)
    shop = Shop(prepared, progress)
    try:
        with alone_in(shop.made):
            tell("preparing sounds")
            sound = sounding(shop)
            tell("looking for what is there already")
            orders = [_order(shop, name, outlet, sound) for name, outlet in chosen.items()]
            shop.store.use({part: keys for o in orders for part, keys in o.uses.items()}, shop.parts)
            sweep(shop.made)
            sweep(shop.made / "sounds", sound.files)
            sweep(shop.made / VOICES, prepared.heard.files)
            tell("getting ready to draw")
            shop.begin()
            run_all([task for order in orders for task in order.tasks], workers or cores(), shop.stop)
            tell("putting the film together")
            made = _finished(root, orders)
            tell("screening for flashes")
            made = tuple(o._replace(screening=screening_of(o.files[0], shop.made, shop.stop)) for o in made)
    except FolderError as problem:
        raise RefusedError([problem.mistake]) from problem
    except OSError as problem:
        raise RefusedError([_trouble(root, problem)]) from problem
    frames = prepared.frames
    warnings = (
        *lines_of((*prepared.warnings, *sound.warnings)),
        *(f"outlet {outlet.name}: {outlet.report}" for outlet in made if outlet.report),
        *(line for outlet in made for line in _flashes(outlet)),
        *left_over(shop.made, shop.film),
    )
    seconds = float(seconds_of(frames, shop.film.exact_rate))
    return Made(made, frames, seconds, tuple(dict.fromkeys(warnings)), shop.counts)


def _sensible(outlets: object, scenes: object, workers: int | None) -> None:
    for what, names in (("outlets", outlets), ("scenes", scenes)):
        expected = f"a list of names, or None for all {what}"
        if isinstance(names, str):
            raise FolderError(what, f"the text {names!r}", expected, f"write [{names!r}]")
        if isinstance(names, Sized) and not len(names):
            raise FolderError(
                what, "an empty list: nothing is asked for", expected, "name one, or leave it out"
            )
    if workers is not None and workers < 1:
        raise FolderError("workers", str(workers), "1 or more", "leave it out: one for each core")


def _flashes(outlet: MadeOutlet) -> list[str]:
    found = outlet.screening
    if found is None or found["passed"]:
        return []
    do = found["advice"][0]
    return [f"outlet {outlet.name}: {span}; {do}; screening is guidance only" for span in found["spans"]]


def _finished(root: Path, orders: Sequence[Order]) -> tuple[MadeOutlet, ...]:
    # One outlet that cannot be put in its place, held open by a player, say, must not keep back the others.
    made: list[MadeOutlet] = []
    mistakes: list[Mistake] = []
    for order in orders:
        try:
            made.append(order.finish())
        except FolderError as problem:
            mistakes.append(problem.mistake)
        except OSError as problem:
            mistakes.append(_trouble(root, problem))
    if mistakes:
        raise RefusedError(mistakes)
    return tuple(made)


def _trouble(root: Path, problem: OSError) -> Mistake:
    # Of a renaming the system tells both names; a person knows the second.
    named = problem.filename2 or problem.filename
    where = Path(named) if isinstance(named, str) else root / "made"
    file = where.relative_to(root).as_posix() if where.is_relative_to(root) else str(where)
    why = problem.strerror or type(problem).__name__
    if problem.filename2 and isinstance(problem, PermissionError):
        return Mistake(
            file,
            None,
            f"the new one cannot take its place ({why})",
            "a file that no other program holds open",
            "close it, in a player perhaps, and make the film again: all but this last step is kept",
        )
    return Mistake(
        file,
        None,
        f"it cannot be read or written ({why})",
        "a place that may be written to, with room left",
        "look at permissions and free space, then make the film again",
    )


def _chosen(prepared: Ready, names: Sequence[str] | None) -> dict[str, AnyOutlet]:
    film = prepared.folder.film
    own = outlets_of(film)
    there = {**STANDARD, **own}
    wrong = [
        Mistake(
            "film.toml",
            None,
            f"no outlet is called {name!r}",
            f"one of {', '.join(there)}",
            likely(name, there),
        )
        for name in names or ()
        if name not in there
    ]
    wrong += clashes(film, prepared.scenes if prepared.alone else None)
    # The film's own come first: the first of all is the one whose loudness is told.
    chosen = {n: outlet for n, outlet in {**own, **there}.items() if n in (own if names is None else names)}
    wrong += misfits(film, chosen)
    if wrong:
        raise RefusedError(wrong)
    return chosen


def _order(shop: Shop, name: str, outlet: AnyOutlet, sound: Sounding) -> Order:
    path = shop.root / path_of(shop.film, name, shop.ready.scenes if shop.ready.alone else None)
    return ordered(shop, name, outlet, sound, path)
