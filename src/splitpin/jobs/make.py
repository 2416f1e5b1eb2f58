"""Make the film: every outlet, at the cost of what has changed since the last time."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from splitpin.film.document import Outlet
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.jobs.outlet_film import order_film
from splitpin.jobs.outlet_pictures import order_pictures
from splitpin.jobs.ready import Ready, RefusedError, ready
from splitpin.jobs.shop import Counts, MadeOutlet, Order, Progress, Shop
from splitpin.jobs.sounding import Sounding, sounding
from splitpin.jobs.workers import cores, run_all
from splitpin.measure.likely import likely
from splitpin.measure.rate import seconds_of

TAKEN = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)", re.IGNORECASE)
"""Names that mean devices on some systems."""


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
        """Integrated loudness of the first outlet, LUFS; minus infinity for silence."""
        return self.outlets[0].loudness

    @property
    def true_peak(self) -> float:
        """True peak of the first outlet, dBTP."""
        return self.outlets[0].true_peak


def make(
    root: Path,
    outlets: Sequence[str] | None = None,
    scenes: Sequence[str] | None = None,
    workers: int | None = None,
    progress: Progress | None = None,
) -> Made:
    """Make a film.

    What was made before and still holds is taken as it is. An interrupt from the keyboard leaves what is
    finished, and the next run goes on from there.

    Parameters
    ----------
    root
        The film folder; what is made goes to ``made/`` in it.
    outlets
        Names of outlets in ``film.toml``; all when left out.
    scenes
        Scenes of the film, made as a film of their own; all when left out.
    workers
        How many segments are worked on at a time; one for each core when left out. What is made does not
        depend on it.
    progress
        Told now and then how many frames are done.

    Raises
    ------
    RefusedError
        With every mistake in the folder, when there is one.
    """
    prepared = ready(root, scenes)
    chosen = _chosen(prepared, outlets)
    shop = Shop(prepared, progress)
    try:
        sound = sounding(shop)
        orders = [_order(shop, name, outlet, sound) for name, outlet in chosen.items()]
        shop.store.use(key for order in orders for key in order.keys)
        shop.begin()
        run_all([task for order in orders for task in order.tasks], workers or cores(), shop.stop)
        made = tuple(order.finish() for order in orders)
    except FolderError as problem:
        raise RefusedError([problem.mistake]) from problem
    except OSError as problem:
        raise RefusedError([_trouble(root, problem)]) from problem
    frames = prepared.frames
    warnings = (
        *(f"{w.file}: {w.found}; {w.remedy}" for w in prepared.warnings),
        *sound.warnings,
        *(f"outlet {outlet.name}: {outlet.report}" for outlet in made if outlet.report),
    )
    seconds = float(seconds_of(frames, shop.film.exact_rate))
    return Made(made, frames, seconds, tuple(dict.fromkeys(warnings)), shop.counts)


def _trouble(root: Path, problem: OSError) -> Mistake:
    where = Path(problem.filename) if isinstance(problem.filename, str) else root / "made"
    file = where.relative_to(root).as_posix() if where.is_relative_to(root) else str(where)
    return Mistake(
        file,
        None,
        f"it cannot be read or written ({problem.strerror or type(problem).__name__})",
        "a place that may be written to, with room left",
        "look at permissions and free space, then make the film again",
    )


def _chosen(prepared: Ready, names: Sequence[str] | None) -> dict[str, Outlet]:
    there = prepared.folder.film.outlets
    wrong = [
        Mistake("film.toml", None, f"no outlet is called {name!r}", "one of `outlets`", likely(name, there))
        for name in names or ()
        if name not in there
    ]
    if wrong:
        raise RefusedError(wrong)
    if not there:
        return {"web": Outlet()}
    return {name: outlet for name, outlet in there.items() if names is None or name in names}


def _order(shop: Shop, name: str, outlet: Outlet, sound: Sounding) -> Order:
    stem = file_stem(shop.film.title)
    if len(shop.ready.scenes) < len(shop.ready.sheets):
        stem = f"{stem}-{'-'.join(shop.ready.scenes)}"[:120]
    if name != next(iter(shop.film.outlets), name):
        stem = f"{stem}-{name}"
    if outlet.kind == "pictures":
        return order_pictures(shop, name, outlet, sound, shop.made / stem)
    return order_film(shop, name, outlet, sound, shop.made / f"{stem}.mp4")


def file_stem(title: str) -> str:
    """A file name for a title, good on every system.

    >>> file_stem("Exact Change!")
    'exact-change'
    >>> file_stem("…")
    'film'
    """
    words = re.findall(r"\w+", title.lower())
    stem = "-".join(words)[:80] or "film"
    # These would be mistaken for devices, or for the folders of what is kept.
    return f"film-{stem}" if TAKEN.fullmatch(stem) or stem in ("segments", "sounds") else stem
