"""Whatever was done to a film's files can be taken back and done again, byte for byte, also after a crash."""

from __future__ import annotations

import json
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitpin.folder import history as module
from splitpin.folder.history import OUTSIDE, History
from splitpin.folder.mistake import FolderError

Files = dict[str, bytes]


def files(root: Path) -> Files:
    """What lies in a folder apart from its history."""
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in root.rglob("*")
        if path.is_file() and module.PLACE not in path.parts
    }


def put(root: Path, changes: dict[str, bytes | None]) -> None:
    for name, data in changes.items():
        file = root / name
        if data is None:
            file.unlink(missing_ok=True)
        else:
            file.parent.mkdir(exist_ok=True)
            beside = file.with_name(f".{file.name}~")
            beside.write_bytes(data)
            beside.replace(file)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    put(tmp_path, {"film.toml": b"title = 'a'\n", "scenes/010-a.toml": b"one"})
    return tmp_path


NAMES = st.sampled_from(["film.toml", "scenes/a.toml", "scenes/b.toml", "cutouts/a.png"])
ACTIONS = st.lists(
    st.dictionaries(NAMES, st.none() | st.binary(max_size=4), min_size=1, max_size=3)
    | st.sampled_from(["undo", "redo", "reopen"]),
    max_size=12,
)


@settings(max_examples=30, deadline=None)
@given(ACTIONS)
def test_undo_to_the_start_and_redo_to_the_end_give_the_same_bytes(
    actions: list[dict[str, bytes | None] | str],
) -> None:
    with TemporaryDirectory() as place:
        root = Path(place)
        put(root, {"film.toml": b"a", "scenes/a.toml": b"b"})
        start = files(root)
        history = History(root)
        for n, action in enumerate(actions):
            if isinstance(action, dict):
                put(root, action)
                history.note(f"step {n}")
            elif action == "reopen":
                history = History(root)
            else:
                getattr(history, action)()
        while history.redo():
            pass
        end, count = files(root), len(history.done)
        while history.undo():
            history = History(root)
        assert files(root) == start
        assert len(history.undone) == count
        while history.redo():
            pass
        assert files(root) == end


def test_what_was_changed_outside_is_a_step_too(root: Path) -> None:
    history = History(root)
    put(root, {"scenes/010-a.toml": b"two"})
    assert History(root).done[-1].label == OUTSIDE
    put(root, {"scenes/010-a.toml": b"three"})
    history = History(root)
    history.undo()
    assert (root / "scenes/010-a.toml").read_bytes() == b"two"


def test_steps_that_join_are_taken_back_together(root: Path) -> None:
    history = History(root)
    for n in range(3):
        put(root, {"scenes/010-a.toml": b"%d" % n})
        history.note("drag", join=n > 0)
    assert [step.label for step in History(root).done] == ["drag"]
    history.undo()
    assert (root / "scenes/010-a.toml").read_bytes() == b"one"


def test_a_crash_between_the_word_and_the_deed_is_made_good(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    history = History(root)
    put(root, {"scenes/010-a.toml": b"two", "scenes/020-b.toml": b"new"})
    history.note("write")

    def crash(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as dying:
        dying.setattr(module, "write_whole", crash)
        with pytest.raises(KeyboardInterrupt):
            history.undo()
    again = History(root)
    assert files(root) == {"film.toml": b"title = 'a'\n", "scenes/010-a.toml": b"one"}
    assert [step.label for step in again.undone] == ["write"]


def test_a_half_written_line_is_passed_over_and_what_follows_is_kept(root: Path) -> None:
    History(root)
    journal = root / module.PLACE / "steps.jsonl"
    with journal.open("ab") as file:
        file.write(b'{"step": "half')
    put(root, {"scenes/010-a.toml": b"two"})
    History(root).note("whole")
    assert [step.label for step in History(root).done] == [OUTSIDE]
    assert json.loads(journal.read_bytes().splitlines()[-1])["step"] == OUTSIDE


def test_what_cannot_be_taken_back_wholly_is_refused_before_anything_is(root: Path) -> None:
    history = History(root)
    put(root, {"scenes/010-a.toml": b"two", "film.toml": b"title = 'b'\n"})
    history.note("write")
    before = files(root)
    for kept in (root / module.PLACE / "kept").rglob("*"):
        if kept.is_file() and kept.read_bytes() == b"one":
            kept.write_bytes(b"spoilt")
    with pytest.raises(FolderError, match="not kept any more"):
        history.undo()
    assert files(root) == before


def test_takes_and_what_was_made_are_no_steps(root: Path) -> None:
    history = History(root)
    put(root, {"made/a.mp4": b"film", "takes/a.png": b"shot"})
    assert history.note() is None


def test_a_large_file_that_is_written_anew_is_kept_without_a_copy(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "SMALL", 10)
    put(root, {"cutouts/a.png": b"0123456789abcdef"})
    history = History(root)
    assert (root / "cutouts/a.png").stat().st_nlink == 2
    put(root, {"cutouts/a.png": b"fedcba9876543210"})
    history.note("cut")
    history.undo()
    assert (root / "cutouts/a.png").read_bytes() == b"0123456789abcdef"
