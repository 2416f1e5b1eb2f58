"""Only one is at work in a folder, and nobody is kept out by the dead."""

from __future__ import annotations

import json
import os
import platform
import subprocess
import sys
import time
from pathlib import Path

import pytest

from splitpin.device.lock import LOCK, YOUNG, alone_in
from splitpin.folder.mistake import FolderError

HOLDER = """
import sys, time
from pathlib import Path
from splitpin.device.lock import alone_in
with alone_in(Path(sys.argv[1])):
    print("in", flush=True)
    time.sleep(60)
"""


def test_the_folder_is_free_again_afterwards(tmp_path: Path) -> None:
    for _ in range(2):
        with alone_in(tmp_path / "made"):
            assert (tmp_path / "made" / LOCK).is_file()
        assert list((tmp_path / "made").iterdir()) == []


def test_a_second_one_in_the_same_process_is_refused(tmp_path: Path) -> None:
    with alone_in(tmp_path), pytest.raises(FolderError, match="already") as told, alone_in(tmp_path):
        pass
    assert told.value.remedy
    assert list(tmp_path.iterdir()) == []


def test_another_process_is_refused_while_one_lives_and_takes_over_when_it_is_gone(tmp_path: Path) -> None:
    with subprocess.Popen([sys.executable, "-c", HOLDER, str(tmp_path)], stdout=subprocess.PIPE) as holder:
        assert holder.stdout is not None
        holder.stdout.readline()
        with pytest.raises(FolderError, match=str(holder.pid)), alone_in(tmp_path):
            pass
        holder.kill()
        holder.wait()
        assert (tmp_path / LOCK).is_file()
        with alone_in(tmp_path):
            assert json.loads((tmp_path / LOCK).read_bytes())["pid"] == os.getpid()
    assert list(tmp_path.iterdir()) == []


def test_one_that_was_killed_keeps_nobody_out_though_its_parent_has_not_asked_after_it(
    tmp_path: Path,
) -> None:
    """POSIX: a process that has ended keeps its number, and can be sent signals, until its parent waits."""
    with subprocess.Popen([sys.executable, "-c", HOLDER, str(tmp_path)], stdout=subprocess.PIPE) as holder:
        assert holder.stdout is not None
        holder.stdout.readline()
        holder.kill()
        holder.stdout.read()
        time.sleep(0.2)  # its files are closed one after the other
        with alone_in(tmp_path):
            assert holder.returncode is None
    assert list(tmp_path.iterdir()) == []


def test_the_lock_of_an_earlier_process_with_our_number_is_taken_over(tmp_path: Path) -> None:
    owner = {"pid": os.getpid(), "host": platform.node(), "us": "before"}
    (tmp_path / LOCK).write_text(json.dumps(owner), encoding="utf-8")
    with alone_in(tmp_path):
        pass


def test_a_lock_from_another_computer_is_respected(tmp_path: Path) -> None:
    (tmp_path / LOCK).write_text(json.dumps({"pid": 1, "host": "elsewhere", "us": "x"}), encoding="utf-8")
    with pytest.raises(FolderError, match="elsewhere"), alone_in(tmp_path):
        pass


@pytest.mark.parametrize("text", ["", "{", "[]", '{"pid": "x"}', "null"])
def test_a_lock_that_says_nothing_is_respected_only_while_it_is_young(text: str, tmp_path: Path) -> None:
    lock = tmp_path / LOCK
    lock.write_text(text, encoding="utf-8")
    with pytest.raises(FolderError, match="already"), alone_in(tmp_path):
        pass
    old = time.time() - 2 * YOUNG
    os.utime(lock, (old, old))
    with alone_in(tmp_path):
        pass
