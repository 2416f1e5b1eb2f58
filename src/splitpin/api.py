"""The studio from Python: one film folder, opened.

Everything that the command line can do to a film, as values and arrays.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from splitpin.film.segments import Exposure, Segment
from splitpin.folder.edit import DELETED, Edit, apply
from splitpin.folder.kinds import FILM_FILE
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.frames.canvas import Canvas
from splitpin.jobs.check import check
from splitpin.jobs.make import Made, make
from splitpin.jobs.ready import RefusedError, ready
from splitpin.jobs.shop import Progress, Shop
from splitpin.jobs.sounding import sounding
from splitpin.measure.likely import likely
from splitpin.sheet.sheet import Sheet

__all__ = ["DELETED", "Edit", "FolderError", "Made", "Mistake", "OpenFilm", "RefusedError", "open"]

Value = str | int | float | bool | list[object] | dict[str, object]


class OpenFilm:
    """A film folder.

    The folder is read when something of it is first asked for, and again after :meth:`edit` or
    :meth:`reload`. Whatever needs the whole film raises :class:`RefusedError`, with all mistakes,
    while there are any.
    """

    def __init__(self, root: Path) -> None:
        self.root = root
        self._shop: Shop | None = None
        self._canvas: tuple[str, Canvas] | None = None

    def reload(self) -> None:
        """Forget what was read, because somebody else may have changed the folder."""
        self._shop = self._canvas = None

    def check(self) -> tuple[Mistake, ...]:
        """Every mistake in the folder; none when the film can be made."""
        return check(self.root).mistakes

    def warnings(self) -> tuple[Mistake, ...]:
        """What a person should know, though the film can be made."""
        return check(self.root).warnings

    def edit(self, document: str, path: str | Sequence[str | int], value: object) -> Edit:
        """Change one value in one document, keeping its comments and order.

        Parameters
        ----------
        document
            Its path in the folder: ``"scenes/010-wall.toml"``.
        path
            A key, or the way to a value: ``("panels", 0, "seconds")``.
        value
            What shall stand there; :data:`DELETED` takes it away.

        Returns
        -------
        Edit
            What :meth:`apply` needs to undo it.

        Raises
        ------
        FolderError
            When there is no such document or place.
        """
        return self.apply(Edit(document, (path,) if isinstance(path, str) else tuple(path), value))

    def apply(self, edit: Edit) -> Edit:
        """Make a change as a value, and give back the one that undoes it."""
        undo = apply(self.root, edit)
        self.reload()
        return undo

    @property
    def folder(self) -> FilmFolder:
        """The folder as read: film, scenes, characters, cut-outs."""
        return self._ready.ready.folder

    def sheets(self) -> tuple[Sheet, ...]:
        """The exposure sheets of all scenes, in the film's order."""
        return self._ready.ready.sheets

    def sheet(self, scene: str) -> Sheet:
        """The exposure sheet of one scene.

        Raises
        ------
        FolderError
            When the film has no such scene.
        """
        sheets = {sheet.scene: sheet for sheet in self.sheets()}
        if scene not in sheets:
            raise FolderError(
                "film.toml", f"{scene!r} is not a scene of the film", "one of `scenes`", likely(scene, sheets)
            )
        return sheets[scene]

    def __len__(self) -> int:
        """How many frames the film has."""
        return self._ready.ready.frames

    def frame(self, n: int) -> NDArray[np.uint8]:
        """One frame: uint8 (height, width, 3), sRGB.

        Raises
        ------
        IndexError
            When the film has no such frame.
        """
        if not 0 <= n < len(self):
            raise IndexError(f"frame {n} of a film of {len(self)}")
        shop = self._ready
        segment = next(s for s in shop.ready.segments if s.first <= n < s.first + s.frames)
        first = segment.exposures[0].row.frame
        held = next(
            e
            for e in segment.exposures
            if e.row.frame <= n - segment.first + first < e.row.frame + e.row.frames
        )
        return self.shown(shop, segment, held)

    def frames(self) -> Iterator[NDArray[np.uint8]]:
        """Every frame in turn, as :meth:`frame`; a held one is the same array again, not to be written to."""
        shop = self._ready
        for segment in shop.ready.segments:
            for exposure in segment.exposures:
                picture = self.shown(shop, segment, exposure)
                for _ in range(exposure.row.frames):
                    yield picture

    def mix(self) -> NDArray[np.float32]:
        """The whole mix before it is brought to an outlet's level: float32 (samples, 2), 48 kHz."""
        mix = sounding(self._ready).mix
        return mix.read(0, mix.length)

    def make(
        self,
        outlets: Sequence[str] | None = None,
        scenes: Sequence[str] | None = None,
        workers: int | None = None,
        progress: Progress | None = None,
        doing: Callable[[str], None] | None = None,
    ) -> Made:
        """Make the film; see :func:`splitpin.jobs.make.make`."""
        return make(self.root, outlets, scenes, workers, progress, doing)

    def shop(self) -> Shop:
        """What the film is made of, read once."""
        return self._ready

    @property
    def _ready(self) -> Shop:
        if self._shop is None:
            self._shop = Shop(ready(self.root))
        return self._shop

    def shown(self, shop: Shop, segment: Segment, exposure: Exposure) -> NDArray[np.uint8]:
        """The picture of one exposure: uint8 (height, width, 3), sRGB."""
        if exposure.kind != "drawn":
            return shop.still(exposure, segment.paper)
        if self._canvas is None or self._canvas[0] != segment.paper:
            canvas = Canvas(shop.stage, shop.pictures, shop.film.look, segment.paper, shop.shadows)
            self._canvas = segment.paper, canvas
        canvas = self._canvas[1]
        canvas.draw(exposure.row.placed, exposure.row.view)
        return canvas.rgb.copy()


def open(folder: str | Path) -> OpenFilm:  # noqa: A001  (it is called splitpin.open)
    """Open a film folder.

    Parameters
    ----------
    folder
        The folder that holds ``film.toml``. It is read when something of it is first asked for.

    Raises
    ------
    FolderError
        When there is no film in it.
    """
    if not (Path(folder) / FILM_FILE).is_file():
        raise FolderError(
            str(folder), f"no {FILM_FILE}", "a film folder", "make one with: splitpin new FOLDER"
        )
    return OpenFilm(Path(folder))
