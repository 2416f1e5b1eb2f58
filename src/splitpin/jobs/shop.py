"""What everybody needs who makes a part of a film: pictures, what is kept, and the count of it all."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from threading import Lock
from typing import Any, NamedTuple, Protocol

from splitpin.device.coded import Coded
from splitpin.device.cutouts import CutoutPictures
from splitpin.device.fingerprints import Fingerprints
from splitpin.device.stills import Stills
from splitpin.device.store import Store
from splitpin.film.outlet import STANDARD
from splitpin.film.roll import Held, add_work, roll
from splitpin.film.segments import Segment, key
from splitpin.folder.mistake import FolderError
from splitpin.frames.canvas import Work
from splitpin.frames.kept import Kept
from splitpin.frames.shadow import ROOM
from splitpin.jobs.captions import Captioned, captioned
from splitpin.jobs.names import outlets_of
from splitpin.jobs.ready import Ready
from splitpin.jobs.workers import Stop

WHOLE, SOME = "*", "+"
"""The parts of a film that are no scenes: the sound of the whole, and of some scenes made alone."""


class Progress(Protocol):
    """Told how far the work has come."""

    def __call__(self, done: int, total: int, /) -> None:
        """So many frames of so many are done; called from any thread, one at a time."""


class Counts(NamedTuple):
    """What making took."""

    segments_made: int
    segments_reused: int
    drawing: Work
    """Exposures, pieces and pixels drawn."""


class MadeOutlet(NamedTuple):
    """One outlet, made."""

    name: str
    files: tuple[Path, ...]
    """The film; or the folder of pictures and the mix in it."""
    loudness: float | None
    """Integrated loudness of what was made, LUFS; minus infinity for silence, None without any track."""
    true_peak: float | None
    """dBTP."""
    report: str
    """What a person should know; empty when all is well."""
    told: str = ""
    """What was chosen or done in making it, where that is worth a word."""
    range: float | None = None
    """Loudness range, LU (EBU Tech 3342); None where it was not measured."""
    screening: Mapping[str, Any] | None = None
    """What screening it for flashes found; None for what is no film."""


class Order(NamedTuple):
    """One outlet, planned."""

    uses: Mapping[str, Sequence[str]]
    """All that it uses of what is kept, by the part of the film: a scene, or the sound."""
    tasks: tuple[Callable[[], None], ...]
    """What must be done first, in any order."""
    finish: Callable[[], MadeOutlet]
    """Puts together what the tasks have made."""


class Shop:
    """Where a film is made."""

    def __init__(self, ready: Ready, progress: Progress | None = None) -> None:
        folder = ready.folder
        self.ready, self.film, self.root = ready, folder.film, folder.root
        self.made = folder.root / "made"
        self.store = Store(self.made / "segments")
        self.stage = folder.film.stage
        self.files = Fingerprints(folder.root)
        self.cutouts = Fingerprints(folder.root, "cutouts/{}.png")
        self.pictures = CutoutPictures(tuple(folder.cutouts), self.cutouts.read)
        self.shadows = Kept(ROOM)
        self.still = Stills(self.files.read, self.stage)
        self.stop = Stop()
        self._lock = Lock()
        self._progress = progress
        self._planned: set[str] = set()
        self._work = Work()
        self._frames_done = self._frames = self._made = self._reused = 0

    def key(self, segment: Segment, coding: str) -> str:
        """The name under which a segment is kept."""
        return key(segment, self.stage, self.film.look, self.cutouts, self.files, coding)

    def uses(
        self, outlet: str, segments: Sequence[tuple[str, Segment]], *shared: str
    ) -> dict[str, Sequence[str]]:
        """What an outlet uses of what is kept, by the part of the film; ``shared`` is what belongs to all of
        it, such as its sound.
        """
        used: dict[str, list[str]] = {}
        for name, segment in segments:
            used.setdefault(f"{outlet}/{segment.scene}", []).append(name)
        return {**used, f"{outlet}/{WHOLE if self.ready.whole else SOME}": shared}

    @property
    def parts(self) -> list[str]:
        """Every part of the film of which something may be kept."""
        return [
            f"{name}/{part}"
            for name in {**outlets_of(self.film), **STANDARD}
            for part in (*self.film.scenes, WHOLE, SOME)
        ]

    def coded(self, name: str) -> Coded:
        """A coded stream that was made a moment ago.

        Raises
        ------
        FolderError
            When it is gone.
        """
        coded = self.store.coded(name)
        if coded is None:
            raise gone(name)
        return coded

    @cached_property
    def captioned(self) -> Captioned:
        """What is spoken in the scenes asked for, and how it is read at the film's own rate."""
        asked = [sheet for sheet in self.ready.sheets if sheet.scene in self.ready.scenes]
        return captioned(self.ready.folder, asked, self.ready.heard.voices)

    def wanted(self, name: str, segment: Segment, there: bool) -> bool:
        """Whether a segment has yet to be made; it is counted, and planned only once."""
        if name in self._planned or there:
            self._reused += name not in self._planned
            self._planned.add(name)
            return False
        self._planned.add(name)
        self._frames += segment.frames
        return True

    def rolled(self, segment: Segment) -> Iterator[Held]:
        """The pictures of a segment that is being made, counted as they are taken."""
        work = Work()
        shown = roll(segment, self.stage, self.pictures, self.film.look, self.still, work, self.shadows)
        for held in shown:
            self.stop.here()
            yield held
            with self._lock:
                self._frames_done += held.frames
                self._tell()
        with self._lock:
            self._made += 1
            add_work(self._work, work)

    def begin(self) -> None:
        """Tell how much there is to do."""
        with self._lock:
            self._tell()

    @property
    def counts(self) -> Counts:
        """What it took so far."""
        return Counts(self._made, self._reused, self._work)

    def _tell(self) -> None:
        if self._progress is not None:
            self._progress(self._frames_done, self._frames)


def gone(key: str) -> FolderError:
    """Something that was made a moment ago is not there any more."""
    return FolderError(
        f"made/segments/{key}", "gone while the film was made", "to stay", "make the film again"
    )
