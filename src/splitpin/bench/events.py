"""What happens on the desk, told to every window that is open on it."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

Event = dict[str, object]
ROOM = 256
"""A window that is so many events behind has gone away, or must look at everything anew."""


class Events:
    """Tells many listeners; may be told from any thread."""

    def __init__(self) -> None:
        self._loop: asyncio.AbstractEventLoop | None = None
        self._ears: set[asyncio.Queue[Event]] = set()

    def tell(self, event: Event) -> None:
        """Tell everybody."""
        loop = self._loop
        if loop is not None and not loop.is_closed():
            loop.call_soon_threadsafe(self._hand_out, event)

    @asynccontextmanager
    async def listening(self) -> AsyncIterator[asyncio.Queue[Event]]:
        """A queue in which events come while somebody listens."""
        self._loop = asyncio.get_running_loop()
        ear: asyncio.Queue[Event] = asyncio.Queue(ROOM)
        self._ears.add(ear)
        try:
            yield ear
        finally:
            self._ears.discard(ear)

    def _hand_out(self, event: Event) -> None:
        for ear in self._ears:
            if ear.full():
                while not ear.empty():
                    ear.get_nowait()
                ear.put_nowait({"kind": "everything"})
            else:
                ear.put_nowait(event)
