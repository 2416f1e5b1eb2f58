"""The film that lies on the desk: read once, drawn from, changed step by step, and told to every window."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from hashlib import blake2b
from pathlib import Path
from threading import RLock
from typing import NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

import splitpin.api
from splitpin.api import OpenFilm
from splitpin.bench.events import Events
from splitpin.bench.prints import Prints
from splitpin.device.lock import alone_in
from splitpin.device.previews import jpeg
from splitpin.device.soundfile_writer import write_sound
from splitpin.film.segments import Exposure, Segment
from splitpin.folder.edit import Edit
from splitpin.folder.history import PLACE, History, Step
from splitpin.folder.leftovers import sweep
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.jobs.peaks import peaks_of
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.shop import Shop
from splitpin.jobs.sounding import sounding
from splitpin.jobs.together import together

T = TypeVar("T")
PAST = 20_000
"""So many pictures that are no more are known to have been."""


class Held(NamedTuple):
    """An exposure in its place in the film."""

    frame: int
    """Its first frame in the film."""
    scene: str
    exposure: Exposure
    segment: Segment
    key: str
    """A name for its picture: equal names are equal pictures, whatever else is changed."""


class Standing(NamedTuple):
    """How the film stands at one revision."""

    revision: int
    held: tuple[Held, ...]
    mistakes: tuple[Mistake, ...]
    """While there are any, what is held is how the film was before them."""
    shop: Shop | None


class Desk:
    """One open film folder.

    Everything that changes it goes through :meth:`step`, one at a time. The film can always be looked at:
    while there are mistakes in it, as it was before them.
    """

    def __init__(self, root: Path, events: Events) -> None:
        self.root = root.resolve()
        self.film: OpenFilm = splitpin.api.open(self.root)
        self.prints = Prints(self.root / PLACE / "prints")
        self._events = events
        self._changing, self._drawing = RLock(), RLock()
        self._alone = alone_in(self.root / PLACE)
        self._alone.__enter__()
        sweep(self.root)
        self._history = History(self.root)
        self._standing = Standing(0, (), (), None)
        self._past: dict[str, None] = {}
        self._now: Standing | None = None
        self._revision = 1

    def close(self) -> None:
        """Put the film away."""
        self._alone.__exit__(None, None, None)

    @property
    def revision(self) -> int:
        """Counts changes."""
        return self._revision

    @property
    def done(self) -> tuple[Step, ...]:
        """The steps that can be taken back."""
        return self._history.done

    @property
    def undone(self) -> tuple[Step, ...]:
        """The steps that can be done again."""
        return self._history.undone

    def step(self, label: str, action: Callable[[], T], *, join: bool = False) -> T:
        """Do something to the folder as one step of its history.

        Parameters
        ----------
        label
            What it is, in words for people.
        action
            What to do. If it fails, what it changed before that is a step all the same.
        join
            Whether it goes on with the step before, as dragging does.
        """
        with self.stepping(label, join=join):
            return action()

    @contextmanager
    def stepping(self, label: str, *, join: bool = False) -> Iterator[None]:
        """The same for what is done in the block: work that takes long enters it only to write."""
        with self._changing:
            self._history.note()
            before = len(self._history.done)
            try:
                yield
            finally:
                step = self._history.note(label, join=join)
                if step is not None or before != len(self._history.done):
                    self._changed(step)

    def edit(self, label: str, edits: Sequence[Edit], *, join: bool = False) -> None:
        """Change values in documents: all of them or none.

        Raises
        ------
        FolderError
            When a place is not there.
        RefusedError
            When documents would have mistakes that they did not have.
        """
        self.step(label, lambda: together(self.root, edits), join=join)

    def undo(self) -> Step | None:
        """Take back the latest step."""
        return self._move(self._history.undo)

    def redo(self) -> Step | None:
        """Do again what was taken back."""
        return self._move(self._history.redo)

    def go(self, steps: int) -> None:
        """Take back, or do again, until so many steps are done.

        Raises
        ------
        FolderError
            When one cannot be taken back or done again; those before it are.
        """
        with self._changing:
            way: list[Step] = []
            try:
                while len(self.done) > steps and (step := self._history.undo()) is not None:
                    way.append(step)
                while len(self.done) < steps and (step := self._history.redo()) is not None:
                    way.append(step)
            finally:
                if way:
                    changed = {change.path: change for step in way for change in step.changes}
                    self._changed(Step(way[-1].label, tuple(changed.values())))

    def look(self) -> None:
        """See whether somebody else has changed files, and take it in."""
        with self._changing:
            step = self._history.note()
            if step is not None:
                self._changed(step)

    def was_shown(self, key: str) -> bool:
        """Whether an exposure of this key was in the film before it was changed."""
        return key in self._past

    def standing(self) -> Standing:
        """How the film stands now."""
        # Whoever drags a piece does not wait for a picture that is being drawn.
        if (now := self._now) is not None:
            return now
        with self._changing, self._drawing:
            if self._now is None:
                self._now = self._stand()
            return self._now

    @contextmanager
    def shop(self) -> Iterator[Shop]:
        """What the film is made of.

        Raises
        ------
        RefusedError
            While there are mistakes.
        """
        standing = self.standing()
        if standing.mistakes or standing.shop is None:
            raise RefusedError(standing.mistakes)
        yield standing.shop

    def picture(self, held: Held) -> NDArray[np.uint8]:
        """An exposure's picture: uint8 (h, w, 3), sRGB."""
        standing = self.standing()
        if standing.shop is None:
            raise RefusedError(standing.mistakes)
        with self._drawing:
            return self.film.shown(standing.shop, held.segment, held.exposure)

    def jpeg(self, held: Held, width: int) -> bytes:
        """The same as a file, so many pixels wide; kept, for it never changes."""
        return self.prints.get(held.key, width, lambda: jpeg(self.picture(held), width))

    def sound(self) -> Path:
        """The whole mix as a WAV file."""
        with self.shop() as shop, self._drawing:
            found = sounding(shop)
            place = self.root / PLACE / "sound"
            file = place / f"{found.key('desk 1')}.wav"
            if not file.is_file():
                place.mkdir(exist_ok=True)
                write_sound(file, found.mix.blocks(), "PCM_16")
                others = sorted((f for f in place.iterdir() if f != file), key=lambda f: f.stat().st_mtime)
                for old in others[:-3]:
                    old.unlink(missing_ok=True)
            return file

    def peaks(self, scene: str | None) -> list[float]:
        """The loudest sample of the mix in each frame, 0 to 1: of a scene, or of the whole film."""
        with self.shop() as shop, self._drawing:
            found = peaks_of(shop, None if scene is None else [scene])
            return [peak for peaks in found.values() for peak in peaks]

    def _move(self, move: Callable[[], Step | None]) -> Step | None:
        with self._changing:
            step = move()
            if step is not None:
                self._changed(step)
            return step

    def _changed(self, step: Step | None) -> None:
        with self._drawing:
            self.film.reload()
            self._revision += 1
            self._now = None
        self._events.tell(
            {
                "kind": "film",
                "revision": self._revision,
                "label": step.label if step else "",
                "files": [change.path for change in step.changes] if step else [],
                "time": time.time(),
            }
        )

    def _stand(self) -> Standing:
        try:
            shop = self.film.shop()
        except RefusedError as refused:
            return self._standing._replace(revision=self._revision, mistakes=refused.mistakes)
        except FolderError as problem:
            return self._standing._replace(revision=self._revision, mistakes=(problem.mistake,))
        before = self._standing.held
        self._standing = Standing(self._revision, tuple(_held(shop)), (), shop)
        lost = {held.key for held in before} - {held.key for held in self._standing.held}
        self._past = dict.fromkeys([*self._past, *lost][-PAST:])
        return self._standing


def _held(shop: Shop) -> Iterator[Held]:
    look = repr(shop.film.look), shop.stage
    for segment in shop.ready.segments:
        at = segment.first
        for exposure in segment.exposures:
            row = exposure.row
            told: tuple[object, ...]
            if exposure.kind == "drawn":
                sums = [shop.cutouts[name] for name in sorted({p.cutout for p in row.placed})]
                told = row.placed, row.view, segment.paper, look, sums
            else:
                file = shop.files[exposure.file] if exposure.file else ""
                told = exposure.kind, file, exposure.words, segment.paper, shop.stage
            key = blake2b(repr(told).encode(), digest_size=12).hexdigest()
            yield Held(at, segment.scene, exposure, segment, key)
            at += row.frames
