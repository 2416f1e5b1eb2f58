"""What has been made is kept, found again, and swept out when nothing uses it."""

from __future__ import annotations

from pathlib import Path

import pytest

from splitpin.device.coded import Coded, CodedPacket
from splitpin.device.store import MAKES, Store

CODED = Coded(b"head", (CodedPacket(0, 1, True, b"data"),))


def packets(store: Store, key: str) -> tuple[CodedPacket, ...]:
    kept = store.coded(key)
    return tuple(kept.packets) if kept else ()


def test_what_is_kept_is_found_again(tmp_path: Path) -> None:
    store = Store(tmp_path / "segments")
    assert store.coded("a") is None
    store.keep("a", CODED)
    assert packets(store, "a") == CODED.packets


def test_what_the_last_makes_used_stays_and_the_rest_goes(tmp_path: Path) -> None:
    store = Store(tmp_path)
    for i in range(MAKES + 2):
        store.use({"wall": [f"k{i}"]}, ["wall"])
        store.keep(f"k{i}", CODED)
    store.use({"wall": [f"k{MAKES + 1}"]}, ["wall"])
    kept = {p.stem for p in tmp_path.glob("*.coded")}
    assert kept == {f"k{i}" for i in range(2, MAKES + 2)}


def test_making_the_same_film_again_and_again_sweeps_nothing_out(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.use({"wall": ["old"]}, ["wall"])
    store.keep("old", CODED)
    for _ in range(3 * MAKES):
        store.use({"wall": ["new"]}, ["wall"])
    assert packets(store, "old") == CODED.packets


def test_making_one_scene_over_and_over_lets_nothing_of_the_others_go(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.use({"wall": ["w"], "coin": ["c"]}, ["wall", "coin"])
    store.keep("w", CODED)
    store.keep("c", CODED)
    for i in range(3 * MAKES):
        store.use({"coin": [f"c{i}"]}, ["wall", "coin"])
    assert store.coded("c") is None
    assert packets(store, "w") == CODED.packets


def test_what_the_film_has_no_more_goes_after_some_makes_and_not_at_once(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.use({"wall": ["w"]}, ["wall"])
    store.keep("w", CODED)
    for _ in range(MAKES - 1):
        store.use({"coin": ["c"]}, ["coin"])
        assert packets(store, "w") == CODED.packets
    store.use({"coin": ["c"]}, ["coin"])
    assert store.coded("w") is None


def test_what_was_left_unfinished_goes_and_what_is_not_ours_stays(tmp_path: Path) -> None:
    store = Store(tmp_path)
    (tmp_path / ".k-00.part").write_bytes(b"half")
    (tmp_path / "mine.txt").write_bytes(b"mine")
    store.use({"wall": ["k"]}, ["wall"])
    assert {p.name for p in tmp_path.iterdir()} == {"mine.txt", "used.json"}


def test_pictures_count_only_when_all_of_them_are_there(tmp_path: Path) -> None:
    store = Store(tmp_path)

    def interrupted() -> None:
        with store.keep_pictures("a") as part:
            (part / "1.png").write_bytes(b"1")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interrupted()
    assert not store.pictures("a").exists()
    with store.keep_pictures("a") as part:
        (part / "1.png").write_bytes(b"1")
    assert [p.name for p in store.pictures("a").iterdir()] == ["1.png"]


@pytest.mark.parametrize("damaged", ["[[", "[]", "3", '{"wall": 3}', '{"wall": [["a"], 3]}'])
def test_a_damaged_note_of_what_was_used_does_no_harm(damaged: str, tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.use({"wall": ["a"]}, ["wall"])
    (tmp_path / "used.json").write_text(damaged, encoding="utf-8")
    store.use({"wall": ["b"]}, ["wall"])
    store.keep("b", CODED)
    assert packets(store, "b") == CODED.packets
