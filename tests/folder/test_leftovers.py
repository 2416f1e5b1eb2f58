"""What somebody left unfinished who was stopped goes away, and nothing else does."""

from __future__ import annotations

import os
import time
from pathlib import Path

from splitpin.folder.leftovers import sweep
from splitpin.folder.save import name_beside
from splitpin.folder.save_set import NOTE


def left(target: Path, age: float) -> Path:
    target.parent.mkdir(parents=True, exist_ok=True)
    part = name_beside(target)
    part.write_text("half", encoding="utf-8")
    then = time.time() - age
    os.utime(part, (then, then))
    return part


def test_what_is_old_and_unfinished_is_taken_away_in_the_folder_and_beside_its_documents(
    tmp_path: Path,
) -> None:
    old = [left(tmp_path / "film.toml", 7200), left(tmp_path / "scenes/010-wall.toml", 7200)]
    young = left(tmp_path / "film.toml", 60)
    sweep(tmp_path)
    assert [part for part in old if part.exists()] == []
    assert young.exists()


def test_takes_other_hidden_files_and_sets_that_are_to_be_finished_stay(tmp_path: Path) -> None:
    take = left(tmp_path / "takes/000000.png", 7200)
    other = tmp_path / ".gitignore"
    other.write_text("made\n", encoding="utf-8")
    os.utime(other, (0, 0))
    part = left(tmp_path / "cutouts/cat.png", 7200)
    note = part.with_name(f"{name_beside(part).name}{NOTE}")
    note.write_text("[]", encoding="utf-8")
    sweep(tmp_path)
    assert take.exists()
    assert other.exists()
    assert part.exists()
    sweep(tmp_path / "gone")
