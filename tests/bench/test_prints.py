"""Pictures of exposures are made once, kept over a restart, and take no more room than they may."""

from __future__ import annotations

import os
from pathlib import Path

from starlette.testclient import TestClient

from splitpin.bench import prints
from splitpin.bench.prints import Prints


def test_a_picture_is_made_once_for_each_width_and_kept(tmp_path: Path) -> None:
    made: list[int] = []

    def make(width: int) -> bytes:
        made.append(width)
        return bytes(width)

    for _ in range(2):
        kept = Prints(tmp_path / "prints")
        assert len(kept.get("key", 7, lambda: make(7))) == 7
        assert len(kept.get("key", 9, lambda: make(9))) == 9
    assert made == [7, 9]


def test_those_not_looked_at_for_longest_go_first(tmp_path: Path) -> None:
    kept = Prints(tmp_path, room=3000)
    for n in range(prints.OFTEN):
        kept.get(f"{n}", 1, lambda: bytes(100))
    for n, file in enumerate(sorted(tmp_path.iterdir())):
        os.utime(file, (n, n))
    looked_at = sorted(tmp_path.iterdir())[0]
    kept.get(looked_at.name.split("-")[0], 1, lambda: b"made anew")
    kept.get("last", 1, lambda: bytes(100))
    left = list(tmp_path.iterdir())
    assert sum(file.stat().st_size for file in left) <= 3000
    assert looked_at in left
    assert any(file.name.startswith("last") for file in left)


def test_where_nothing_can_be_kept_pictures_are_made_all_the_same(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    assert Prints(tmp_path / "file").get("key", 1, lambda: b"made") == b"made"


def test_the_page_gets_the_same_bytes_again(bench: TestClient, tiny: Path) -> None:
    key = bench.get("/api/film").json()["exposures"][0]["key"]
    first = bench.get(f"/api/frames/{key}.jpg", params={"width": 48}).content
    assert bench.get(f"/api/frames/{key}.jpg", params={"width": 48}).content == first
    assert len(list((tiny / ".splitpin/prints").iterdir())) == 1
