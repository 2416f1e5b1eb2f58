"""Work that takes longer than a page should wait: one thing at a time, told as it goes, stopped if asked."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Literal

from splitpin.bench.answers import as_data, told
from splitpin.bench.events import Events
from splitpin.folder.mistake import Mistake
from splitpin.jobs.workers import Stop, StoppedError

State = Literal["waiting", "going on", "done", "failed", "stopped"]
KEPT = 50
"""Finished pieces of work that can still be asked after."""


@dataclass
class Work:
    """One piece of work, and how far it has come."""

    number: int
    name: str
    """What it is, for people."""
    state: State = "waiting"
    doing: str = ""
    """What is being done at the moment, in words."""
    done: int = 0
    total: int = 0
    """So many parts of so many; nothing is known while ``total`` is 0."""
    result: object = None
    mistakes: list[dict[str, object]] = field(default_factory=list)
    stop: Stop = field(default_factory=Stop)
    _tell: Callable[[Work], None] = lambda _: None

    def progress(self, done: int, total: int) -> None:
        """Tell how far it has come, and give it up here if nobody wants it any more."""
        self.done, self.total = done, total
        self._tell(self)
        self.stop.here()

    def say(self, doing: str) -> None:
        """Tell what is being done."""
        self.doing = doing
        self._tell(self)
        self.stop.here()

    def as_data(self) -> dict[str, object]:
        """As the page is told."""
        names = ("number", "name", "state", "doing", "done", "total", "result", "mistakes")
        return {name: getattr(self, name) for name in names}


class Queue:
    """The desk's work, in the order in which it was asked for."""

    def __init__(self, events: Events) -> None:
        self._events = events
        self._pool = ThreadPoolExecutor(1, thread_name_prefix="bench")
        self._numbers = itertools.count(1)
        self._all: dict[int, Work] = {}

    def add(self, name: str, action: Callable[[Work], object]) -> Work:
        """Take in a piece of work.

        Parameters
        ----------
        name
            What it is, for people.
        action
            What to do; it gets the work to tell its progress to, and what it gives back becomes the result.
        """
        work = Work(next(self._numbers), name, _tell=self._tell)
        self._all[work.number] = work
        for number in list(self._all)[:-KEPT]:
            if self._all[number].state in ("done", "failed", "stopped"):
                del self._all[number]
        self._tell(work)
        self._pool.submit(self._run, work, action)
        return work

    def find(self, number: int) -> Work | None:
        """A piece of work by its number."""
        return self._all.get(number)

    def all(self) -> list[Work]:
        """Everything that goes on or was done lately."""
        return list(self._all.values())

    def close(self) -> None:
        """Stop everything."""
        for work in self._all.values():
            work.stop.now()
        self._pool.shutdown(wait=False, cancel_futures=True)

    def _run(self, work: Work, action: Callable[[Work], object]) -> None:
        try:
            work.stop.here()
            work.state = "going on"
            self._tell(work)
            work.result = action(work)
            work.state = "done"
        except StoppedError:
            work.state = "stopped"
        except Exception as problem:  # whatever it is, the next piece of work goes on
            ours = Mistake(
                "splitpin", None, f"{type(problem).__name__}: {problem}", "no such thing", "tell us"
            )
            work.state, work.mistakes = "failed", as_data(told(problem) or (ours,))
        self._tell(work)

    def _tell(self, work: Work) -> None:
        self._events.tell({"kind": "work", "work": work.as_data()})
