"""The sheet goes out to a spreadsheet and comes back."""

from __future__ import annotations

from typing import Any

from tests.sheet.test_expose import FIGURES, STAGE, exposed, scene, slide

from splitpin.scene.scene import Scene
from splitpin.sheet.csv import read_csv, write_csv
from splitpin.sheet.expose import expose

TREMBLING: dict[str, Any] = {"moves": [slide(), {"move": "shake", "who": "cat"}]}


def test_what_went_out_and_came_back_unchanged_changes_nothing() -> None:
    sheet = exposed(**TREMBLING).sheet
    assert read_csv(write_csv(sheet, FIGURES), sheet, FIGURES) == ([], [])


def test_a_changed_cell_becomes_a_touch_of_that_exposure() -> None:
    sheet = exposed(**TREMBLING).sheet
    lines = write_csv(sheet, FIGURES).splitlines()
    column = lines[0].split(",").index("coin.x")
    cells = lines[4].split(",")
    cells[column] = "41.25"
    lines[4] = ",".join(cells)
    touches, faults = read_csv("\r\n".join(lines), sheet, FIGURES)
    assert faults == []
    touched = Scene.model_validate(scene(**TREMBLING).model_dump(exclude_none=True) | {"touches": touches})
    again = expose("t", touched, FIGURES, STAGE, sheet.rate, 2).sheet
    assert [a.poses["coin"]["x"] for a in again.rows] == [
        41.25 if i == 3 else b.poses["coin"]["x"] for i, b in enumerate(sheet.rows)
    ]


def test_what_cannot_be_read_is_named_by_line_and_column() -> None:
    sheet = exposed().sheet
    text = "frame,frames,panel,coin.x,coin.speed\r\n0,2,one,fast,1\r\n1,2,one,0,1\r\n"
    touches, faults = read_csv(text, sheet, FIGURES)
    assert touches == []
    assert {f.path for f in faults} == {(1, "coin.speed"), (2, "coin.x"), (3, "frame")}
    assert read_csv("", sheet, FIGURES)[1][0].found == "nothing"
