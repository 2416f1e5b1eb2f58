"""Documents of older formats are lifted for ever; newer ones are refused in plain words."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from splitpin.folder import read, versions
from splitpin.folder.kinds import KINDS, Kind
from splitpin.folder.versions import lift

SAVED = Path(__file__).parents[1] / "saved"


def renamed(data: dict[str, Any]) -> dict[str, Any]:
    """A step of a made-up history: `fps` became `rate`."""
    return {"rate" if k == "fps" else k: v for k, v in data.items()}


def halved(data: dict[str, Any]) -> dict[str, Any]:
    return {**data, "size": data["size"] / 2}


OLD = Kind("film", "", KINDS[0].model, 3)
STEPS = {("film", 1): renamed, ("film", 2): halved, ("scene", 1): halved}


def test_steps_follow_one_another_up_to_the_present() -> None:
    assert lift(OLD, {"format": 1, "fps": 24, "size": 8}, STEPS) == (
        {"format": 3, "rate": 24, "size": 4},
        None,
    )
    assert lift(OLD, {"format": 2, "rate": 24, "size": 8}, STEPS) == (
        {"format": 3, "rate": 24, "size": 4},
        None,
    )
    assert lift(OLD, {"format": 3, "rate": 24, "size": 8}, STEPS) == (
        {"format": 3, "rate": 24, "size": 8},
        None,
    )


def test_lifting_leaves_the_old_value_as_it_was() -> None:
    old = {"format": 1, "fps": 24, "size": 8}
    lift(OLD, old, STEPS)
    assert old == {"format": 1, "fps": 24, "size": 8}


@pytest.mark.parametrize("version", [4, 99, 10**30])
def test_a_newer_version_is_told_as_such(version: int) -> None:
    _, fault = lift(OLD, {"format": version}, STEPS)
    assert fault is not None
    assert "made by a newer splitpin" in fault.found


@pytest.mark.parametrize("version", [0, -1, True, 1.0, "1", [1]])
def test_a_version_that_is_no_version_is_told(version: object) -> None:
    _, fault = lift(OLD, {"format": version}, STEPS)
    assert fault is not None


def test_every_way_from_a_first_version_to_the_present_is_whole() -> None:
    for kind in KINDS:
        assert all((kind.name, v) in versions.STEPS for v in range(1, kind.version))


@pytest.mark.parametrize("path", sorted(SAVED.glob("*.toml")), ids=lambda p: p.stem)
def test_documents_saved_in_every_version_are_still_read(path: Path) -> None:
    name = path.stem.split(".")[0]
    kind = next(k for k in KINDS if k.name == name)
    document = read.read(kind, path.name, path.read_bytes())
    assert document.mistakes == ()
    assert document.value is not None


def test_one_document_of_every_kind_and_version_is_kept() -> None:
    kept = {p.stem for p in SAVED.glob("*.toml")}
    assert kept >= {f"{kind.name}.v{v}" for kind in KINDS for v in range(1, kind.version + 1)}
