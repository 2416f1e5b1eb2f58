"""Files that belong together are all old or all new, wherever the work stops."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from splitpin.folder.mistake import FolderError
from splitpin.folder.save_set import finish_sets, write_set

NAMES = ("a.png", "b.png", "more/c.toml")
KILLED = """
import os, sys
from pathlib import Path
from splitpin.folder.save_set import write_set
left = int(sys.argv[2])
def stop(self, *where, true=Path.replace):
    global left
    left -= 1
    if left < 0:
        os._exit(7)
    return true(self, *where)
Path.replace = stop
write_set([(Path(sys.argv[1], name), b"new " + name.encode()) for name in {names!r}])
"""


def lay(root: Path, word: str) -> None:
    (root / "more").mkdir(parents=True)
    for name in NAMES:
        (root / name).write_text(f"{word} {name}")


def words(root: Path) -> set[str]:
    return {(root / name).read_text().split()[0] for name in NAMES}


@pytest.mark.parametrize("steps", range(6))
def test_a_process_killed_at_any_rename_leaves_the_old_set_or_the_new_one(tmp_path: Path, steps: int) -> None:
    root = tmp_path / "set"
    lay(root, "old")
    script = KILLED.replace("{names!r}", repr(NAMES))
    done = subprocess.run([sys.executable, "-c", script, str(root), str(steps)], check=False)
    assert done.returncode == (7 if steps < 4 else 0)
    finish_sets(root)
    assert words(root) == ({"old"} if steps == 0 else {"new"})
    if steps:
        assert sorted(p.name for p in root.rglob("*") if p.is_file()) == ["a.png", "b.png", "c.toml"]
    write_set([(root / name, b"again") for name in NAMES])
    assert words(root) == {"again"}


@pytest.mark.parametrize("steps", range(4))
def test_a_disk_that_refuses_leaves_the_old_set_and_nothing_beside_it(
    tmp_path: Path, steps: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    lay(tmp_path / "set", "old")
    true, left = Path.replace, [steps]

    def refuse(self: Path, target: str | os.PathLike[str]) -> Path:
        left[0] -= 1
        if left[0] == -1:
            raise PermissionError(13, "Permission denied")
        return true(self, target)

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(FolderError, match="it cannot be written"):
        write_set([(tmp_path / "set" / name, b"new") for name in NAMES])
    assert words(tmp_path / "set") == {"old"}
    assert len([p for p in (tmp_path / "set").rglob("*") if p.is_file()]) == len(NAMES)


def test_new_files_go_when_one_of_them_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "wall").mkdir()
    with pytest.raises(FolderError):
        write_set([(tmp_path / "new.png", b"1"), (tmp_path / "wall", b"2")])
    assert [p.name for p in tmp_path.iterdir()] == ["wall"]
