"""What is made once and drawn from often: shared by all who draw, let go when it takes too much room."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Protocol, TypeVar, cast


class Taking(Protocol):
    """Something that takes room."""

    @property
    def room(self) -> int:
        """Bytes of memory; it may grow."""


Thing = TypeVar("Thing", bound=Taking)


class Kept:
    """Things by name; any thread may ask.

    Parameters
    ----------
    limit
        Bytes that they may take together before those not asked for longest are let go; the one asked for
        last always stays.
    """

    def __init__(self, limit: int) -> None:
        self._limit = limit
        self._things: OrderedDict[Hashable, Taking] = OrderedDict()
        self._lock = Lock()
        self._making: dict[Hashable, Lock] = {}

    def get(self, name: Hashable, make: Callable[[], Thing]) -> Thing:
        """What is kept under a name, made if it is not there. What one name stands for is of one kind.

        ``make`` may ask for other things, though never in a ring.
        """
        kept = self._look(name)
        if kept is None:
            with self._lock:
                making = self._making.setdefault(name, Lock())
            with making:  # two who ask at once make it once
                kept = self._look(name)
                if kept is None:
                    kept = make()
                    with self._lock:
                        self._things[name] = kept
                        self._let_go()
        return cast(Thing, kept)

    @property
    def room(self) -> int:
        """The room that they take now."""
        with self._lock:
            return sum(thing.room for thing in self._things.values())

    def _look(self, name: Hashable) -> Taking | None:
        with self._lock:
            kept = self._things.get(name)
            if kept is not None:
                self._things.move_to_end(name)
            return kept

    def _let_go(self) -> None:
        taken = sum(thing.room for thing in self._things.values())
        while taken > self._limit and len(self._things) > 1:
            taken -= self._things.popitem(last=False)[1].room
