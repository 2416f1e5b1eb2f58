"""A piece, its recipe and all that belongs to them are written together, or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from PIL import Image
from tests.command.test_mend_command import page, run
from tests.tinyfilm import write_tiny

BOX = ("--box", "30,20,40,40")


def snapshot(root: Path) -> dict[str, bytes]:
    places = ("cutouts", "characters", "holes")
    return {
        str(p.relative_to(root)): p.read_bytes() for d in places for p in (root / d).rglob("*") if p.is_file()
    }


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A film with a piece that was cut, split and mended."""
    monkeypatch.chdir(tmp_path)
    root = write_tiny(tmp_path / "tiny")
    page().save(root / "pictures/page.png")
    hole = Image.new("L", page().size)
    hole.paste(255, (70, 50, 80, 60))
    hole.save("hole.png")
    Path("lines.json").write_text("[[[50, 0], [50, 80]]]")
    Path("across.json").write_text("[[[12, -5], [12, 60]]]")
    assert run("cut", "page", *BOX, "--into", root, "--name", "disc")[0] == 0
    return root


def works(root: Path) -> dict[str, tuple[str | Path, ...]]:
    return {
        "cut": ("cut", "page", "--box", "28,18,46,46", "--into", root, "--name", "disc", "--again"),
        "split": ("split", root, "disc", "--lines", "across.json", "--names", "left,right", "--again"),
        "mend": ("mend", "page", "--hole", "hole.png", "--into", root, "--name", "clean", "--again"),
    }


@pytest.mark.parametrize("work", ["cut", "split", "mend"])
def test_a_disk_that_refuses_at_any_step_leaves_all_as_it_was(
    desk: Path, work: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = works(desk)[work]
    before = snapshot(desk)
    true = Path.replace
    for steps in range(40):
        left = [steps]

        def refuse(self: Path, target: str | os.PathLike[str], left: list[int] = left) -> Path:
            left[0] -= 1
            if left[0] == -1:
                raise OSError(28, "No space left on device")
            return true(self, target)

        with monkeypatch.context() as patch:
            patch.setattr(Path, "replace", refuse)
            code, _, told = run(*words)
        if code == 0:
            break
        assert code == 2
        assert "it cannot be written (No space left on device)" in " ".join(told.split())
        assert snapshot(desk) == before
    assert steps >= 3
    assert snapshot(desk) != before
