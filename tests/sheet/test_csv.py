"""The sheet goes out to a spreadsheet and comes back."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from io import StringIO
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.sheet.test_expose import FIGURES, exposed, slide

from splitpin.sheet.csv import Change, read_csv, write_csv
from splitpin.sheet.sheet import Sheet

TREMBLING: dict[str, Any] = {
    "moves": [
        slide(),
        {"move": "shake", "who": "cat"},
        {"move": "swap", "who": "cat", "piece": "head", "shows": "open"},
    ]
}


def cells_of(text: str) -> list[list[str]]:
    return list(csv.reader(StringIO(text, newline="")))


def parted(cells: list[list[str]], by: str = ",") -> str:
    text = StringIO(newline="")
    csv.writer(text, delimiter=by).writerows(cells)
    return text.getvalue()


def put(text: str, line: int, column: str, cell: str) -> str:
    """The table with another cell; lines are counted from the heading, which is 0."""
    cells = cells_of(text)
    cells[line][cells[0].index(column)] = cell
    return parted(cells)


@pytest.fixture(scope="module")
def sheet() -> Sheet:
    return exposed(**TREMBLING).sheet


def test_what_went_out_and_came_back_unchanged_changes_nothing(sheet: Sheet) -> None:
    assert read_csv(write_csv(sheet, FIGURES), sheet, FIGURES) == ((), (), 0)


@given(far=st.floats(-900, 900), turned=st.floats(-900, 900))
def test_numbers_of_any_length_come_back_unchanged_and_are_written_to_a_millionth(
    far: float, turned: float
) -> None:
    bend = {"move": "bend", "who": "cup", "by": turned, "positions": 7}
    sheet = exposed(moves=[slide(to=[far, -far / 3], positions=7), bend]).sheet
    table = write_csv(sheet, FIGURES)
    assert read_csv(table, sheet, FIGURES) == ((), (), 0)
    assert all(len(cell.partition(".")[2]) <= 6 for line in cells_of(table)[1:] for cell in line[3:])


def test_a_tenth_added_ten_times_is_written_as_one() -> None:
    """Sums of tenths in floating point end in 999…; a person reads 1."""
    sheet = exposed(moves=[slide(to=[1, 0])]).sheet
    column = cells_of(write_csv(sheet, FIGURES))[0].index("coin.x")
    written = [line[column] for line in cells_of(write_csv(sheet, FIGURES))[1:11]]
    assert written == ["0.1", "0.2", "0.3", "0.4", "0.5", "0.6", "0.7", "0.8", "0.9", "1"]


def test_a_changed_cell_is_a_change_of_that_member_on_that_exposure(sheet: Sheet) -> None:
    table = put(write_csv(sheet, FIGURES), 4, "coin.x", "41.25")
    table = put(
        table, 2, "cat.head.shows", "open" if sheet.rows[1].poses["cat"]["head.shows"] == "shut" else "shut"
    )
    read = read_csv(table, sheet, FIGURES)
    assert read.faults == ()
    (swapped, moved) = read.changes
    assert moved == Change(6, "coin", {"x": 41.25})
    assert (swapped.frame, list(swapped.values)) == (2, ["head.shows"])


SPREADSHEETS: dict[str, Callable[[str], str]] = {
    "with a byte order mark": lambda table: "\ufeff" + table,
    "with semicolons": lambda table: parted(cells_of(table), ";"),
    "with tabs": lambda table: parted(cells_of(table), "\t"),
    "with semicolons and decimal commas": lambda table: parted(cells_of(table), ";").replace(".5", ",5"),
    "with its separator told first": lambda table: "sep=;\r\n" + parted(cells_of(table), ";"),
    "with ends of lines of another system": lambda table: table.replace("\r\n", "\n"),
    "with empty lines": lambda table: table.replace("\r\n", "\r\n\r\n"),
    "with capital letters in its heading": lambda table: table.replace("frame,frames", "Frame,FRAMES"),
    "with a point in whole numbers": lambda table: re.sub(r"\r\n(\d+),(\d+),", r"\r\n\1.0,\2.0,", table),
    "with capital letters for true and false": lambda table: table.replace("true", "TRUE"),
}


@pytest.mark.parametrize("spread", SPREADSHEETS)
def test_tables_are_read_as_spreadsheets_of_many_countries_write_them(spread: str, sheet: Sheet) -> None:
    table = put(write_csv(sheet, FIGURES), 4, "coin.x", "41.5")
    read = read_csv(SPREADSHEETS[spread](table), sheet, FIGURES)
    assert read == ((Change(6, "coin", {"x": 41.5}),), (), 0)


def test_a_comma_within_a_number_is_not_guessed_at_where_commas_part_the_columns(sheet: Sheet) -> None:
    """1,250 may be a thousand and more, or one and a quarter."""
    read = read_csv(put(write_csv(sheet, FIGURES), 4, "coin.x", "1,250"), sheet, FIGURES)
    assert [fault.path for fault in read.faults] == [(5, "coin.x")]


def test_a_decimal_comma_that_parts_a_number_in_two_is_told_by_line_and_column(sheet: Sheet) -> None:
    """Unquoted, 300,5 would be a width of 300 and an angle of 5."""
    lines = write_csv(sheet, FIGURES).split("\r\n")
    columns = len(cells_of(lines[0])[0])
    where = lines[0].split(",").index("view.width")
    cells = lines[4].split(",")
    cells[where] = "300,5"
    read = read_csv("\r\n".join([*lines[:4], ",".join(cells), *lines[5:]]), sheet, FIGURES)
    (fault,) = read.faults
    assert fault.path == (5, str(columns + 1))
    assert "with a point" in fault.remedy
    assert read.changes == ()


def test_empty_cells_beyond_the_heading_are_nothing(sheet: Sheet) -> None:
    """Spreadsheets make all lines as wide as the widest."""
    table = write_csv(sheet, FIGURES).replace("\r\n", ",,\r\n")
    assert read_csv(table, sheet, FIGURES) == ((), (), 0)


@pytest.mark.parametrize("cell", ["1_0", "٣", "0x10", "1.2.3", "inf"])
def test_only_plain_numbers_are_numbers(cell: str, sheet: Sheet) -> None:
    read = read_csv(put(write_csv(sheet, FIGURES), 4, "coin.x", cell), sheet, FIGURES)
    assert [fault.path for fault in read.faults] == [(5, "coin.x")]
    read = read_csv(put(write_csv(sheet, FIGURES), 4, "frame", cell), sheet, FIGURES)
    assert [fault.path for fault in read.faults] == [(5, "frame")]


def test_all_cells_that_cannot_be_read_are_named_by_line_and_column() -> None:
    sheet = exposed().sheet
    text = (
        "frame,frames,panel,coin.x,coin.speed,coin.x,coin.scale\r\n"
        "0,2,one,fast,1,0,-1\r\n"
        "1,2,one,0,1,0,1\r\n"
        "2,4,one,nan,1,0,1\r\n"
        "0,2,one,0,1,0,1\r\n"
    )
    read = read_csv(text, sheet, FIGURES)
    assert read.changes == ()
    assert [f.path for f in read.faults] == [
        (1, "coin.speed"),
        (1, "coin.x"),
        (2, "coin.x"),
        (2, "coin.scale"),
        (3, "frame"),
        (4, "frames"),
        (4, "coin.x"),
        (5, "frame"),
    ]


@pytest.mark.parametrize(("text", "found"), [("", "nothing"), ("x,y\n", "'x,y'"), ("\n\n", "nothing")])
def test_what_is_no_sheet_is_refused(text: str, found: str) -> None:
    assert read_csv(text, exposed().sheet, FIGURES).faults[0].found == found


def test_lines_columns_and_cells_that_are_not_there_change_nothing_and_are_counted(sheet: Sheet) -> None:
    cells = cells_of(write_csv(sheet, FIGURES))
    few = [[*cells[0][:3], "coin.x"], *([line[0], "", "other", line[3]] for line in cells[1:4])]
    assert read_csv(parted(few), sheet, FIGURES) == ((), (), len(sheet.rows) - 3)
