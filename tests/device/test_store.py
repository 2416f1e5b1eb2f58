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
        store.use([f"k{i}"])
        store.keep(f"k{i}", CODED)
    store.use([f"k{MAKES + 1}"])
    kept = {p.stem for p in tmp_path.glob("*.coded")}
    assert kept == {f"k{i}" for i in range(2, MAKES + 2)}


def test_making_the_same_film_again_and_again_sweeps_nothing_out(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.use(["old"])
    store.keep("old", CODED)
    for _ in range(3 * MAKES):
        store.use(["new"])
    assert packets(store, "old") == CODED.packets


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


def test_a_damaged_note_of_what_was_used_does_no_harm(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.use(["a"])
    (tmp_path / "used.json").write_text("[[", encoding="utf-8")
    store.use(["b"])
    store.keep("b", CODED)
    assert packets(store, "b") == CODED.packets
