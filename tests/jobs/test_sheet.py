"""Taking in a table changes the scene once, or not at all."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.tinyfilm import HILL, write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.folder.save import write_whole
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.sheet import Taken, take_in, write_table


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def edited(table: Path, **cells: str) -> None:
    """Write one cell of each column on every line."""
    lines = [line.split(",") for line in table.read_text(encoding="utf-8").splitlines()]
    for column, cell in cells.items():
        for line in lines[1:]:
            line[lines[0].index(column.replace("_", "."))] = cell
    table.write_text("\r\n".join(",".join(line) for line in lines), encoding="utf-8", newline="")


def test_a_whole_table_of_changes_is_one_write(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = tmp_path / "hill.csv"
    exposures = write_table(root, "010-hill", table)
    edited(table, cat_y="3", ball_x="1.5")
    writes: list[Path] = []

    def counted(path: Path, data: bytes) -> None:
        writes.append(path)
        write_whole(path, data)

    monkeypatch.setattr("splitpin.folder.edit.write_whole", counted)
    taken = take_in(root, "010-hill", table)
    assert taken == Taken(added=2 * exposures - 1, changed=1, removed=0, missing=0)
    assert len(writes) == 1


def test_programs_are_told_where_each_piece_lies_as_the_table_has_it(root: Path, tmp_path: Path) -> None:
    said = CliRunner().invoke(build(), ["sheet", str(root), "010-hill", "--json"]).stdout
    rows = json.loads(said)["rows"]
    table = tmp_path / "hill.csv"
    write_table(root, "010-hill", table)
    heads, *lines = (line.split(",") for line in table.read_text(encoding="utf-8").splitlines())
    cat_x = heads.index("cat.x")
    assert len(rows) == len(lines)
    for row, line in zip(rows, lines, strict=True):
        order = [(p["who"], p["piece"]) for p in row["pieces"]]
        assert order[0][0] == "background"
        assert order[1:4] == [("cat", "body"), ("cat", "head"), ("cat", "mouth")]
        body, head = row["pieces"][1:3]
        # the root's pin is the place of the figure; the neck is half of 10 px from the middle, 2 mm each
        assert body["x"] == pytest.approx(float(line[cat_x]))
        assert (head["x"] - body["x"], head["y"] - body["y"]) == pytest.approx((0, 6))
        assert body["angle"] == 0
        assert row["view"] == {"x": 0.0, "y": 0.0, "width": 128.0, "angle": 0.0}
    # at rest, then touched by hand on one exposure
    assert {row["pieces"][2]["angle"] for row in rows} == {5, -3}


def test_comments_and_all_that_was_not_changed_are_kept(root: Path, tmp_path: Path) -> None:
    scene = root / "scenes/010-hill.toml"
    text = HILL.replace("frame = 2\n", "frame = 2   # up\n")
    scene.write_text(text, encoding="utf-8", newline="\n")
    table = tmp_path / "hill.csv"
    write_table(root, "010-hill", table)
    edited(table, ball_x="1.5")
    take_in(root, "010-hill", table)
    assert scene.read_text(encoding="utf-8").startswith(text)


def test_with_one_bad_cell_nothing_is_taken_in_and_all_of_them_are_told(root: Path, tmp_path: Path) -> None:
    table = tmp_path / "hill.csv"
    exposures = write_table(root, "010-hill", table)
    edited(table, cat_y="3", ball_x="left", frames="7")
    with pytest.raises(RefusedError) as caught:
        take_in(root, "010-hill", table)
    assert len(caught.value.mistakes) == 2 * exposures
    assert {m.line for m in caught.value.mistakes} == set(range(2, exposures + 2))
    assert (root / "scenes/010-hill.toml").read_text(encoding="utf-8") == HILL


def test_touches_set_back_to_the_plan_are_gone(root: Path, tmp_path: Path) -> None:
    table = tmp_path / "hill.csv"
    write_table(root, "010-hill", table)
    edited(table, cat_x="-20", cat_head_angle="5")
    assert take_in(root, "010-hill", table).removed == 1
    assert "touches" not in (root / "scenes/010-hill.toml").read_text(encoding="utf-8")
