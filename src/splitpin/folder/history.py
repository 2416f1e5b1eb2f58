"""The history of a film: every step that was done to its files, so that it can be taken back, without end.

A step is the files that it changed, each with its bytes before and after. It does not matter who changed
them: an edit of one number, a cut that wrote two files, or a person with a text editor. Steps stand in a list
that is only ever added to, and the bytes lie beside it under their sums; nothing is acknowledged before both
are on the disk. Taking back writes into the list first and changes files then, and whoever opens the history
next finishes what a crash left half done.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

from splitpin.folder.mistake import FolderError
from splitpin.folder.save import write_whole
from splitpin.folder.tracked import Seen, look, sum_of

PLACE = ".splitpin"
"""The hidden folder in the film's folder."""
OUTSIDE = "changed outside"
"""The label of a step that nobody asked for here."""
SMALL = 1 << 20
"""Files up to this many bytes are copied, larger ones linked: who writes here renames over, never into."""


class Change(NamedTuple):
    """One file of a step; None stands for no file."""

    path: str
    """Its path in the film folder, with ``/`` between the parts."""
    before: str | None
    """SHA-256 of its bytes before the step."""
    after: str | None
    """And after it."""


class Step(NamedTuple):
    """Something that was done."""

    label: str
    """What it was, in words for people: ``lay a slide``."""
    changes: tuple[Change, ...]

    def joined(self, later: Step) -> Step:
        """Two steps as one."""
        first = {change.path: change for change in self.changes}
        for change in later.changes:
            was = first.get(change.path)
            first[change.path] = change if was is None else was._replace(after=change.after)
        return Step(self.label, tuple(c for c in first.values() if c.before != c.after))


class History:
    """The steps of one film folder.

    Only one history may be open on a folder at a time; whoever opens it sees to that.
    """

    def __init__(self, root: Path) -> None:
        self._root = root
        self._place = root / PLACE
        self._journal = self._place / "steps.jsonl"
        self._done: list[Step] = []
        self._undone: list[Step] = []
        self._known: dict[str, str] = {}
        """The sum of each file as the steps left it."""
        self._cache: dict[str, Seen] = {}
        """Saves reading files again that were not touched; nothing depends on it."""
        self._place.mkdir(exist_ok=True)
        ignore = self._place / ".gitignore"
        if not ignore.exists():
            ignore.write_text("*\n", encoding="utf-8")
        self._open()

    @property
    def done(self) -> tuple[Step, ...]:
        """What can be taken back; the latest comes last."""
        return tuple(self._done)

    @property
    def undone(self) -> tuple[Step, ...]:
        """What can be done again; what comes next is last."""
        return tuple(self._undone)

    def note(self, label: str = OUTSIDE, *, join: bool = False) -> Step | None:
        """Take what has changed since the last look as a step; None when nothing has.

        Parameters
        ----------
        label
            What it was.
        join
            Whether it goes on with the latest step, as dragging does.
        """
        now = self._look()
        changes = tuple(
            Change(path, self._known.get(path), now[path].sha256 if path in now else None)
            for path in sorted(self._known.keys() | now.keys())
            if path not in now or self._known.get(path) != now[path].sha256
        )
        if not changes:
            return None
        self._keep(now, (change.path for change in changes if change.after is not None))
        join = join and bool(self._done) and not self._undone
        self._add({"step": label, "join": join, "changes": changes})
        self._take(Step(label, changes), join=join)
        return self._done[-1] if self._done else Step(label, changes)

    def undo(self) -> Step | None:
        """Take back the latest step; None when there is none.

        Raises
        ------
        FolderError
            When what a file was before is not kept any more, or a file cannot be written. Then nothing that
            could not be taken back again was changed.
        """
        self.note()
        if not self._done:
            return None
        step = self._done[-1]
        self._see_kept(_reversed(step))
        self._add({"undo": step.label})
        self._apply(self._back())
        return step

    def redo(self) -> Step | None:
        """Do again what was taken back last; None when there is nothing. Raises as :meth:`undo` does."""
        self.note()
        if not self._undone:
            return None
        step = self._undone[-1]
        self._see_kept(step.changes)
        self._add({"redo": step.label})
        self._apply(self._forth())
        return step

    def _open(self) -> None:
        with suppress(OSError, ValueError, TypeError):
            told = json.loads((self._place / "seen.json").read_bytes())
            self._cache = {path: Seen(*seen) for path, seen in told.items()}
        begun = False
        last: tuple[Change, ...] = ()
        for entry in self._entries():
            if "files" in entry:
                begun, last, self._known = True, (), dict(entry["files"])
                self._done, self._undone = [], []
            elif "step" in entry:
                last = ()
                self._take(
                    Step(entry["step"], tuple(Change(*c) for c in entry["changes"])), join=entry["join"]
                )
            elif "undo" in entry and self._done:
                last = self._back()
            elif "redo" in entry and self._undone:
                last = self._forth()
        if not begun:
            now = self._look()
            self._keep(now, now)
            self._known = {path: seen.sha256 for path, seen in now.items()}
            self._add({"files": self._known})
            return
        # A crash may have come between the word and the deed.
        unfinished = [c for c in last if c.before != c.after and c.before == self._sum_now(c.path)]
        with suppress(FolderError):
            self._apply(unfinished)
        self.note()

    def _take(self, step: Step, *, join: bool) -> None:
        self._undone.clear()
        self._know(step.changes)
        if join and self._done:
            self._done[-1] = self._done[-1].joined(step)
            if not self._done[-1].changes:
                self._done.pop()
        else:
            self._done.append(step)

    def _back(self) -> tuple[Change, ...]:
        """Move the latest step to those that were taken back; the changes that this asks for."""
        step = self._done.pop()
        self._undone.append(step)
        return self._know(_reversed(step))

    def _forth(self) -> tuple[Change, ...]:
        step = self._undone.pop()
        self._done.append(step)
        return self._know(step.changes)

    def _know(self, changes: tuple[Change, ...]) -> tuple[Change, ...]:
        for change in changes:
            if change.after is None:
                self._known.pop(change.path, None)
            else:
                self._known[change.path] = change.after
        return changes

    def _apply(self, changes: Iterable[Change]) -> None:
        for change in changes:
            file = self._root / change.path
            if change.after is None:
                try:
                    file.unlink(missing_ok=True)
                except OSError as e:
                    raise FolderError(
                        change.path, f"it cannot be taken away ({e.strerror})", "a file that may be",
                        "look at its permissions, and whether another program holds it open",
                    ) from e  # fmt: skip
            else:
                write_whole(file, self._kept(change.after).read_bytes())

    def _keep(self, now: Mapping[str, Seen], paths: Iterable[str]) -> None:
        for path in paths:
            kept = self._kept(now[path].sha256)
            if kept.exists():
                continue
            kept.parent.mkdir(parents=True, exist_ok=True)
            source = self._root / path
            if now[path].size > SMALL:
                with suppress(OSError):
                    os.link(source, kept)
                    continue
            beside = kept.with_name(f"{kept.name}~")
            shutil.copyfile(source, beside)
            with beside.open("rb+") as file:
                os.fsync(file.fileno())
            beside.replace(kept)

    def _see_kept(self, changes: Iterable[Change]) -> None:
        """Refuse what cannot be done wholly before any of it is."""
        for change in changes:
            if change.after is None:
                continue
            kept = self._kept(change.after)
            if not kept.is_file() or sum_of(kept) != change.after:
                raise FolderError(
                    change.path, "what it was then is not kept any more", "its bytes in .splitpin/kept",
                    "it was changed in place by another program; the steps before stay out of reach",
                )  # fmt: skip

    def _kept(self, sha256: str) -> Path:
        return self._place / "kept" / sha256[:2] / sha256[2:]

    def _sum_now(self, path: str) -> str | None:
        file = self._root / path
        return sum_of(file) if file.is_file() else None

    def _look(self) -> dict[str, Seen]:
        now = look(self._root, self._cache)
        if now != self._cache:
            self._cache = now
            told = json.dumps({path: list(seen) for path, seen in now.items()}, ensure_ascii=False)
            write_whole(self._place / "seen.json", told.encode())
        return now

    def _add(self, entry: Mapping[str, object]) -> None:
        with self._journal.open("ab") as file:
            file.write(json.dumps(entry, ensure_ascii=False).encode() + b"\n")
            file.flush()
            os.fsync(file.fileno())

    def _entries(self) -> list[dict[str, Any]]:
        if not self._journal.exists():
            return []
        told = self._journal.read_bytes()
        if told and not told.endswith(b"\n"):
            # What a crash left half written was never acknowledged; what comes next begins its own line.
            with self._journal.open("ab") as file:
                file.write(b"\n")
        entries = []
        for line in told.split(b"\n"):
            with suppress(ValueError):
                entry = json.loads(line)
                if isinstance(entry, dict):
                    entries.append(entry)
        return entries


def _reversed(step: Step) -> tuple[Change, ...]:
    return tuple(Change(c.path, c.after, c.before) for c in step.changes)
