"""Several who bring things into one folder at the same time lose nothing."""

from __future__ import annotations

import hashlib
import subprocess
import sys
import tomllib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from tests.tinyfilm import write_tiny

from splitpin.device.lock import alone_in
from splitpin.folder.mistake import FolderError
from splitpin.jobs import bring as job
from splitpin.jobs.papers import Told

HANDS, EACH = 3, 6


def test_pictures_of_one_name_brought_at_once_are_all_there_with_their_papers(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "tiny")
    before = {p.name for p in (root / "pictures").iterdir()}
    rng = np.random.default_rng(0)
    files: list[list[str]] = []
    for hand in range(HANDS):
        place = tmp_path / str(hand)
        place.mkdir()
        for k in range(EACH):
            Image.fromarray(rng.integers(0, 255, (9, 12, 3), np.uint8)).save(place / f"page{k}.png")
        files.append([str(p) for p in sorted(place.iterdir())])
    sums = {hashlib.sha256(Path(f).read_bytes()).hexdigest() for some in files for f in some}
    workers = [
        subprocess.Popen(
            [sys.executable, "-m", "splitpin", "bring", *some, "--into", str(root), "--by", f"hand {hand}"],
            stdout=subprocess.DEVNULL,
        )
        for hand, some in enumerate(files)
    ]
    assert [worker.wait() for worker in workers] == [0] * HANDS
    new = sorted(p for p in (root / "pictures").iterdir() if p.name not in before)
    papers = [tomllib.loads(p.read_text(encoding="utf-8")) for p in new if p.suffix == ".toml"]
    pictures = {p.stem: hashlib.sha256(p.read_bytes()).hexdigest() for p in new if p.suffix == ".png"}
    assert len(new) == 2 * HANDS * EACH  # nothing half, nothing beside
    assert set(pictures.values()) == sums
    told = {
        p.stem: tomllib.loads(p.read_text(encoding="utf-8"))["sha256"] for p in new if p.suffix == ".toml"
    }
    assert told == pictures
    assert sorted(paper["by"] for paper in papers) == sorted(
        f"hand {h}" for h in range(HANDS) for _ in range(EACH)
    )


def test_who_waits_in_vain_is_told_and_has_written_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = write_tiny(tmp_path / "tiny")
    Image.new("RGB", (9, 9)).save(tmp_path / "new.png")
    monkeypatch.setattr(job, "PATIENCE", 0.0)
    there = sorted((root / "pictures").iterdir())
    with (
        alone_in(root / job.MADE, job.LOCK),
        pytest.raises(FolderError, match="something is being brought in already"),
    ):
        job.bring(root, [tmp_path / "new.png"], Told())
    assert sorted((root / "pictures").iterdir()) == there
    assert len(job.bring(root, [tmp_path / "new.png"], Told())) == 1
