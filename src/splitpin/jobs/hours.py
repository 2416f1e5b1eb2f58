"""Say how long shooting takes, in which order, and what could be had for less."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

from splitpin.folder.takes import Take
from splitpin.jobs.ready import Ready, ready
from splitpin.sheet.sheet import Sheet
from splitpin.sheet.shooting.actions import actions
from splitpin.sheet.shooting.cheaper import Cheaper, cheaper
from splitpin.sheet.shooting.hours import Pace, Work, pace_of, work_left
from splitpin.sheet.shooting.order import cost, shooting_order
from splitpin.sheet.shooting.setups import setups


class Hours(NamedTuple):
    """The work of shooting a film on paper."""

    work: tuple[Work, ...]
    """Each set-up in the order in which it is best shot."""
    pace: Pace
    changes: float
    """Minutes for all changes of the table in that order."""
    story: float
    """And in the order of the story."""
    cheaper: tuple[Cheaper, ...]
    """What costs much, and a way to have it for less."""

    @property
    def seconds(self) -> float:
        """Of all work that is left, without changes."""
        return sum(one.seconds for one in self.work)


def hours(root: Path, scenes: Sequence[str] | None = None) -> Hours:
    """The hours of a film, or of some of its scenes.

    Parameters
    ----------
    root
        The film folder.
    scenes
        Scenes of it; all when left out.

    Raises
    ------
    RefusedError
        While there are mistakes, or one is no scene of the film.
    """
    return hours_of(ready(root, scenes))


def hours_of(film: Ready) -> Hours:
    """The same of a film that is read."""
    folder = film.folder
    sheets = [sheet for sheet in film.sheets if sheet.scene in film.scenes]
    story = setups([(folder.scenes[sheet.scene], sheet) for sheet in sheets])
    order = shooting_order(story, folder.film.changes)
    pace = pace_of([pair for sheet in film.sheets for pair in taken(folder.root, folder.takes, sheet)])
    shot = {scene: {take.frame for take in takes} for scene, takes in folder.takes.items()}
    left = work_left(order, shot, pace)
    dear = cheaper(left, folder.scenes, float(folder.film.exact_rate), pace)
    return Hours(
        tuple(left), pace, cost(order, folder.film.changes), cost(story, folder.film.changes), tuple(dear)
    )


def taken(root: Path, takes: Mapping[str, tuple[Take, ...]], sheet: Sheet) -> list[tuple[float, int]]:
    """Seconds between takes of exposures that follow one another, and what hands did between them."""
    at: dict[int, datetime] = {}
    for take in takes.get(sheet.scene, ()):
        time = _time(root / Path(take.file).with_suffix(".toml"))
        # the first take of an exposure: those after it were done for another reason
        if time is not None and take.frame not in at:
            at[take.frame] = time
    found = []
    for before, now in pairwise(sheet.rows):
        if before.frame in at and now.frame in at:
            seconds = (at[now.frame] - at[before.frame]).total_seconds()
            found.append((seconds, len(actions(before, now))))
    return found


def _time(file: Path) -> datetime | None:
    try:
        told = tomllib.loads(file.read_text(encoding="utf-8")).get("time")
        time = datetime.fromisoformat(told) if isinstance(told, str) else told
        return time if isinstance(time, datetime) and time.tzinfo is not None else None
    except (OSError, ValueError):
        return None
