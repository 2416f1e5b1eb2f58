"""Files and folders that are there whole or not at all."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from splitpin.device.beside import YOUNG, folder_beside, sweep


def test_a_folder_that_cannot_be_replaced_stays_what_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As where a program holds a file of it open, and its folder cannot be renamed (Windows)."""
    (tmp_path / "a").mkdir()
    (tmp_path / "a" / "old").write_bytes(b"old")
    plainly = Path.replace

    def held(self: Path, target: Path) -> Path:
        if target.name == "a" and (self / "new").exists():
            raise PermissionError(13, "held open", str(self), None, str(target))
        return plainly(self, target)

    def attempt() -> None:
        with folder_beside(tmp_path / "a") as part:
            (part / "new").write_bytes(b"new")

    monkeypatch.setattr(Path, "replace", held)
    with pytest.raises(PermissionError):
        attempt()
    assert [p.name for p in tmp_path.iterdir()] == ["a"]
    assert [p.name for p in (tmp_path / "a").iterdir()] == ["old"]


def test_only_what_is_old_and_unfinished_or_not_kept_is_swept_away(tmp_path: Path) -> None:
    names = (".film-1.part", "film.mp4", "kept.f32", "gone.f32")
    for name in names:
        (tmp_path / name).write_bytes(b"x")
    (tmp_path / ".stills-2.part").mkdir()
    sweep(tmp_path, ["kept.f32"])
    assert len(list(tmp_path.iterdir())) == 5
    old = time.time() - 2 * YOUNG
    for path in tmp_path.iterdir():
        os.utime(path, (old, old))
    sweep(tmp_path)
    assert {p.name for p in tmp_path.iterdir()} == {"film.mp4", "kept.f32", "gone.f32"}
    sweep(tmp_path, ["kept.f32", "film.mp4"])
    assert {p.name for p in tmp_path.iterdir()} == {"film.mp4", "kept.f32"}
    sweep(tmp_path / "nowhere")
