"""A film folder made ready: read, exposed, and refused while there are mistakes in it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from splitpin.film.segments import Segment, cut
from splitpin.folder.gather import in_order
from splitpin.folder.kinds import FILM_FILE
from splitpin.folder.load import FilmFolder, load, nothing_read
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.sheets import expose_all
from splitpin.jobs.cards import shown_of, warnings_of_cards
from splitpin.jobs.lettering import warnings_of_fonts
from splitpin.jobs.voices import NOTHING, Heard, voices_of
from splitpin.measure.likely import likely
from splitpin.sheet.sheet import Sheet


class RefusedError(Exception):
    """What was asked for cannot be done until these mistakes are put right."""

    def __init__(self, mistakes: Sequence[Mistake]) -> None:
        super().__init__(
            "\n".join(f"{m.file}: {m.found}; expected {m.expected}; {m.remedy}" for m in mistakes)
        )
        self.mistakes = tuple(mistakes)


class Ready(NamedTuple):
    """A film that can be made."""

    folder: FilmFolder
    sheets: tuple[Sheet, ...]
    """Every scene of the film, in its order."""
    scenes: tuple[str, ...]
    """The scenes asked for, in the film's order."""
    segments: tuple[Segment, ...]
    """Their segments; the first begins at frame 0."""
    warnings: tuple[Mistake, ...]
    """What a check says of the film's own document, the scenes asked for, and their takes; of a whole film
    also what it says of pictures and sounds."""
    alone: bool = False
    """Whether scenes were asked for by name: they are a film of their own, even when it is all of them."""
    heard: Heard = NOTHING
    """The film's voices."""

    @property
    def whole(self) -> bool:
        """Whether that is every scene of the film."""
        return len(self.scenes) == len(self.sheets)

    @property
    def frames(self) -> int:
        """How long the scenes asked for are together."""
        return sum(s.frames for s in self.segments)

    @property
    def spans(self) -> list[tuple[int, int]]:
        """Where each scene asked for lies in the whole film, in frames."""
        spans, start = [], 0
        for sheet in self.sheets:
            if sheet.scene in self.scenes:
                spans.append((start, start + sheet.frames))
            start += sheet.frames
        return spans


def ready(root: Path, scenes: Sequence[str] | None = None) -> Ready:
    """Read a folder and expose its scenes.

    Parameters
    ----------
    root
        The film folder.
    scenes
        Scenes of the film; all when left out.

    Raises
    ------
    RefusedError
        With every mistake, when there is one; those in scenes that the film does not show are only warnings.
    """
    try:
        folder = load(root)
    except FolderError as problem:
        raise RefusedError([nothing_read(problem)]) from problem
    heard = voices_of(folder, keep=True)
    exposed = expose_all(folder, heard.voices)
    film = folder.film
    mistakes, unshown = _parted(film.scenes, [*folder.mistakes, *exposed.mistakes])
    for name in scenes or ():
        if name not in film.scenes:
            mistakes.append(
                Mistake(
                    "film.toml", None, f"{name!r} is not a scene of the film", "one of `scenes`",
                    likely(name, film.scenes),
                )
            )  # fmt: skip
    if mistakes:
        raise RefusedError(in_order(mistakes))
    wanted = tuple(name for name in film.scenes if scenes is None or name in scenes)
    segments: list[Segment] = []
    first = 0
    cards: list[Mistake] = []
    for name in wanted:
        sheet = exposed.sheets[name]
        shown = shown_of(folder, sheet)
        cards += warnings_of_cards(folder, name, shown)
        segments += cut(name, first, sheet.paper, shown, film.exact_rate)
        first += sheet.frames
    sheets = tuple(exposed.sheets[name] for name in film.scenes)
    told = [*folder.warnings, *exposed.warnings, *cards]
    asked = [w for w in told if w.file == FILM_FILE or _scene_of(w) in wanted]
    asked += warnings_of_fonts(folder, [exposed.sheets[name] for name in wanted])
    if len(wanted) == len(sheets):
        # Takes in a folder of another name are perhaps meant for a scene that is shown.
        asked += [w for w in told if w.file.startswith("takes/") and _scene_of(w) not in folder.scenes]
        asked += unshown
        # Of what the credits lack the maker of a whole film hears in the words of a check.
        asked += [w for w in told if w.file.startswith(("pictures/", "sounds/")) and w not in asked]
    return Ready(folder, sheets, wanted, tuple(segments), in_order(asked), scenes is not None, heard)


def _parted(shown: Sequence[str], mistakes: Sequence[Mistake]) -> tuple[list[Mistake], list[Mistake]]:
    """The mistakes that stand in the film's way, and those in scenes that it does not show."""
    # a name that differs from a shown scene's only in its capitals may be taken for that scene
    names = {name.casefold() for name in shown}
    parted: tuple[list[Mistake], list[Mistake]] = [], []
    for mistake in mistakes:
        scene = _scene_of(mistake)
        parted[scene is not None and scene.casefold() not in names].append(mistake)
    return parted


def _scene_of(mistake: Mistake) -> str | None:
    """The scene that ``scenes/SCENE.toml`` or ``takes/SCENE/…`` belongs to; None for any other file."""
    parts = PurePosixPath(mistake.file).parts
    return parts[1].removesuffix(".toml") if parts[0] in ("scenes", "takes") and len(parts) > 1 else None
