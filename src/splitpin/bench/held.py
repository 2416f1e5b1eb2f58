"""What is costly to have and is asked for again and again: pictures decoded, drafts of what is at work."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

T = TypeVar("T")


class Held(Generic[T]):
    """The last few of some things, made when they are asked for and let go when others come.

    Parameters
    ----------
    most
        How many are held.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._things: OrderedDict[Hashable, T] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Hashable, make: Callable[[], T]) -> T:
        """The thing of a key; made while nobody else makes one, so that none is made twice at once."""
        with self._lock:
            if key not in self._things:
                self._things[key] = make()
                while len(self._things) > self._most:
                    self._things.popitem(last=False)
            self._things.move_to_end(key)
            return self._things[key]

    def put(self, key: Hashable, thing: T) -> None:
        """Hold a thing that was made elsewhere."""
        self.get(key, lambda: thing)

    def find(self, key: Hashable) -> T | None:
        """The thing of a key; None when it was let go."""
        with self._lock:
            return self._things.get(key)
