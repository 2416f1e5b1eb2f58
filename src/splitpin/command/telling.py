"""How far long work has come, said on standard error: a bar on a terminal, plain lines elsewhere."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from rich.markup import escape

from splitpin.command.speak import err, printable

if TYPE_CHECKING:
    from rich.progress import Progress as Bar
    from rich.progress import TaskID


class _Lines:
    """How far the work has come, in plain lines: one for each thing done, one at every tenth of frames."""

    def __init__(self) -> None:
        self._said = -1

    def frames(self, done: int, total: int) -> None:
        tenth = 10 * done // total if total else 10
        if tenth > self._said:
            self._said = tenth
            err().print(f"{done} of {total} frames" if total else "nothing to draw again")

    def doing(self, words: str) -> None:
        err().print(words)

    def thing(self, words: str, number: int, total: int) -> None:
        err().print(printable(f"{words} ({number} of {total})"), markup=False)


class _Bar:
    """The same as a bar with the time left, on a terminal."""

    def __init__(self, bar: Bar, task: TaskID) -> None:
        self._bar, self._task = bar, task

    def frames(self, done: int, total: int) -> None:
        # The first frame of all waits for what draws to be compiled, once on each computer.
        self._bar.update(self._task, completed=done, total=total)
        if done:
            self._bar.update(self._task, description="frames")

    def doing(self, words: str) -> None:
        self._bar.update(self._task, description=words)

    def thing(self, words: str, number: int, total: int) -> None:
        self._bar.update(self._task, completed=number - 1, total=total, description=escape(printable(words)))


class _Nothing:
    """Nothing is told: a program listens."""

    frames = doing = None

    def thing(self, words: str, number: int, total: int) -> None:
        """Of several things, this one is worked on now."""


@contextmanager
def telling(*, quiet: bool) -> Iterator[_Lines | _Bar | _Nothing]:
    """Somebody to tell of frames done and of what is being done; nobody when ``quiet``."""
    console = err()
    if quiet:
        yield _Nothing()
    elif not console.is_terminal:
        yield _Lines()
    else:
        from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeRemainingColumn
        from rich.progress import Progress as Bar

        columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
        with Bar(*columns, console=console, transient=True) as bar:
            yield _Bar(bar, bar.add_task("loading", total=None))
