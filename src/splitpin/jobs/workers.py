"""Many pieces of work, a few at a time, that can be stopped."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_EXCEPTION, ThreadPoolExecutor, wait
from threading import Event

PATIENCE = 1.0
"""Seconds that an interrupt waits for what is in hand; whatever takes longer is left to itself."""


class StoppedError(Exception):
    """Work that was given up because somebody asked for it."""


class Stop:
    """Tells work that it is not wanted any more."""

    def __init__(self) -> None:
        self._event = Event()

    def now(self) -> None:
        """Ask everybody to stop."""
        self._event.set()

    def here(self) -> None:
        """A place where work may be given up.

        Raises
        ------
        StoppedError
            When it is not wanted any more.
        """
        if self._event.is_set():
            raise StoppedError


def cores() -> int:
    """How many workers run side by side with profit."""
    return os.cpu_count() or 1


def run_all(tasks: Sequence[Callable[[], None]], workers: int, stop: Stop) -> None:
    """Do all tasks.

    The first that fails stops the others and its error is raised; so does an interrupt from the keyboard,
    which waits for nobody longer than ``PATIENCE``.

    Parameters
    ----------
    tasks
        In the order in which they are begun; what they come to does not depend on it.
    workers
        How many are done at a time.
    stop
        Asked by long tasks now and then.
    """
    pool = ThreadPoolExecutor(max(1, workers), thread_name_prefix="worker")
    futures = [pool.submit(task) for task in tasks]
    try:
        waiting = set(futures)
        while waiting:
            # Waiting a little at a time: an interrupt gets through on every system.
            done, waiting = wait(waiting, timeout=0.2, return_when=FIRST_EXCEPTION)
            for future in done:
                future.result()
    except BaseException as problem:
        stop.now()
        pool.shutdown(wait=False, cancel_futures=True)
        in_hand = [future for future in futures if not future.cancelled()]
        wait(in_hand, timeout=None if isinstance(problem, Exception) else PATIENCE)
        raise
    pool.shutdown()
