"""One at a time: a file that says who is at work."""

from __future__ import annotations

import json
import os
import platform
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from secrets import token_hex

from splitpin.folder.mistake import FolderError

LOCK = "making.lock"
YOUNG = 10.0
"""Seconds for which a lock that says nothing may belong to somebody who is about to write it."""

_ours: set[str] = set()


@contextmanager
def alone_in(
    folder: Path, name: str = LOCK, doing: str = "the film is being made already", patience: float = 0.0
) -> Iterator[None]:
    """Work alone in a folder. What a process that is gone has left locked is taken over.

    Parameters
    ----------
    folder
        Where; it is made when it is not there.
    name
        The file that says who is at work: another one for every kind of work.
    doing
        What they do, for the message.
    patience
        Seconds to wait until they are done.

    Raises
    ------
    FolderError
        When somebody else is at work there.
    """
    folder.mkdir(parents=True, exist_ok=True)
    lock, us = folder / name, token_hex(8)
    handle = _taken(lock, doing, patience)
    try:
        _ours.add(us)
        # It stays open: where an open file cannot be deleted (Windows), that alone shows that we live;
        # elsewhere the system holds it for us until we are gone. What it says is written last, so that
        # whoever can read it finds it held.
        held = _hold(handle)
        says = {"pid": os.getpid(), "host": platform.node(), "us": us, "held": held}
        os.write(handle, json.dumps(says).encode())
        yield
    finally:
        os.close(handle)
        _ours.discard(us)
        with suppress(OSError):
            lock.unlink()


def _taken(lock: Path, doing: str, patience: float) -> int:
    until = time.monotonic() + patience
    tries = 0
    while True:
        tries += 1
        try:
            return os.open(lock, os.O_CREAT | os.O_EXCL | os.O_WRONLY)
        except FileExistsError:
            try:
                _clear_away(lock, doing)
            except FolderError:
                if time.monotonic() >= until:
                    raise
                time.sleep(0.05)
                continue
        if tries > 20 and time.monotonic() >= until:
            raise _busy(lock, {}, doing)


def _clear_away(lock: Path, doing: str) -> None:
    """Take away a lock whose owner is gone.

    Raises
    ------
    FolderError
        When the owner is at work, or may be.
    """
    try:
        text = lock.read_bytes()
        age = time.time() - lock.stat().st_mtime
    except FileNotFoundError:
        return  # given back a moment ago
    owner = _owner(text)
    if _at_work(owner, lock) if owner else age < YOUNG:
        raise _busy(lock, owner, doing)
    # Two may find the same lock left behind. Moved aside first, it is theirs who moved it; whoever was late
    # has moved the other's new one, sees that, and puts it back.
    aside = lock.with_name(f"{lock.name}-{token_hex(4)}")
    try:
        lock.rename(aside)
    except FileNotFoundError:
        return
    except PermissionError:
        raise _busy(lock, owner, doing) from None
    if aside.read_bytes() != text:
        with suppress(OSError):
            aside.rename(lock)
        raise _busy(lock, {}, doing)
    aside.unlink(missing_ok=True)


def _owner(text: bytes) -> dict[str, object]:
    try:
        owner = json.loads(text)
    except ValueError:
        return {}
    return owner if isinstance(owner, dict) and isinstance(owner.get("pid"), int) else {}


def _at_work(owner: dict[str, object], lock: Path) -> bool:
    pid = owner["pid"]
    if owner.get("host") != platform.node():
        return True  # on another computer: there is no telling
    if pid == os.getpid():
        return owner.get("us") in _ours
    if os.name == "nt" or not isinstance(pid, int) or pid <= 0:
        return False  # the lock of a living process cannot be moved aside
    try:
        os.kill(pid, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    # A process that was killed keeps its number until its parent asks after it, and a number is given again:
    # what nobody holds any more tells for certain.
    return not (owner.get("held") is True and _let_go(lock))


def _hold(handle: int) -> bool:
    """Hold an open file for as long as it is open; False where that cannot be done."""
    if sys.platform == "win32":
        return False
    import fcntl

    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _let_go(lock: Path) -> bool:
    """Whether a file that was held is held no longer."""
    try:
        with lock.open("rb+") as file:
            return _hold(file.fileno())
    except OSError:
        return False


def _busy(lock: Path, owner: dict[str, object], doing: str) -> FolderError:
    who = f"process {owner['pid']} on {owner['host']}" if {"pid", "host"} <= owner.keys() else "somebody"
    return FolderError(
        f"{lock.parent.name}/{lock.name}",
        f"{doing} ({who})",
        "one at a time",
        "wait until that is done; when nothing is at work, delete this file",
    )
