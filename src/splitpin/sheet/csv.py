"""The sheet as a table for a spreadsheet, and what was changed there.

One line an exposure: its first frame, its frames, its panel, what is said where somebody speaks, then one
column for each channel that is ever off its rest (``cat.x``, ``cat.head.angle``, ``view.width``); millimetres
and degrees, to a millionth.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from io import StringIO
from typing import NamedTuple

from splitpin.character.channels import wrong_value
from splitpin.character.figure import Figure
from splitpin.character.pose import Value
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.sheet.channels import VIEW, rest_of
from splitpin.sheet.sheet import Row, Sheet

FIXED = ("frame", "frames", "panel")
SAYS = "says"
"""The column of what is said, there to be read, in sheets where something is."""
DECIMALS = 6
SEPARATORS = ",;\t"
NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?", re.ASCII | re.IGNORECASE)
"""As spreadsheets write one; what Python takes besides (``1_0``) is more likely a slip."""


class Change(NamedTuple):
    """What was changed of one member on one exposure."""

    frame: int
    """The exposure's first frame in the scene."""
    who: str
    values: dict[str, Value]
    """The channels that were changed, and what they were changed to."""


class Read(NamedTuple):
    """A table as read."""

    changes: tuple[Change, ...]
    faults: tuple[Fault, ...]
    """The path of each is the line of the table (the heading is line 1) and the column."""
    missing: int
    """How many exposures have no line in it; they are left as they are."""


def write_csv(sheet: Sheet, figures: Mapping[str, Figure]) -> str:
    """The sheet as comma-separated values (RFC 4180), lines ended by CR LF."""
    columns = _columns(sheet, figures)
    text = StringIO(newline="")
    writer = csv.writer(text)
    spoken = any(row.says for row in sheet.rows)
    says = [SAYS] if spoken else []
    writer.writerow([*FIXED, *says, *(f"{who}.{channel}" for who, channel in columns)])
    for row in sheet.rows:
        values = (written(row.poses[who][channel]) for who, channel in columns)
        words = ["; ".join(map(str, row.says))] if spoken else []
        writer.writerow([row.frame, row.frames, row.panel, *words, *values])
    return text.getvalue()


def read_csv(text: str, sheet: Sheet, figures: Mapping[str, Figure]) -> Read:
    """Compare a table with the sheet.

    Columns may be parted by commas, semicolons or tabs; unless by commas, numbers may have a decimal comma.
    Empty cells, and lines and columns that are not there, change nothing.
    """
    try:
        parted, lines = _lines(text.removeprefix("\ufeff"))
    except csv.Error as e:
        return Read((), (Fault((1,), f"it is no table ({e})", "comma-separated values", "write it anew"),), 0)
    comma = parted != ","
    if not lines or lines[0][1][0].lower() != "frame":
        found = "nothing" if not lines else repr(parted.join(lines[0][1])[:60])
        fault = Fault((1,), found, "a heading that starts with frame,frames,panel", "write the table anew")
        return Read((), (fault,), 0)
    columns, faults = _heading(lines[0][1], sheet)
    rows = {row.frame: row for row in sheet.rows}
    seen: dict[int, int] = {}
    changes: list[Change] = []
    for n, cells in lines[1:]:
        if (beyond := _beyond(cells, n, len(columns))) is not None:
            # Every cell after the comma is one column too far to the right, so that none can be believed.
            faults.append(beyond)
            continue
        row = _row(cells, n, rows, seen, comma=comma)
        if isinstance(row, Fault):
            faults.append(row)
            continue
        changed: dict[str, dict[str, Value]] = {}
        for column, cell in zip(columns, cells, strict=False):
            if cell == "" or column in ("", "frame", "panel", SAYS):
                # These are there to be read. Spreadsheets make a number of a panel's name such as 010.
                continue
            if column == "frames":
                faults += _frames(cell, row, n, comma=comma)
                continue
            who, _, channel = column.partition(".")
            now = row.poses[who][channel]
            value = _read(cell, now, comma=comma)
            wrong = wrong_value(channel, value, now, figures.get(who), (n, column))
            if wrong is not None:
                faults.append(wrong)
            elif isinstance(value, (bool, float, str)) and not same(value, now):
                changed.setdefault(who, {})[channel] = value
        changes += [Change(row.frame, who, values) for who, values in changed.items()]
    return Read(tuple(changes), tuple(faults), len(rows) - len(seen))


def same(a: Value, b: Value) -> bool:
    """Whether two values of a channel are the same as far as a table can tell."""
    if isinstance(a, float) and isinstance(b, float):
        return abs(a - b) <= 10.0**-DECIMALS
    return a == b


def written(value: Value, decimals: int = DECIMALS) -> str:
    """A value of a channel in words.

    >>> written(-12.5), written(-0.0), written(9.9999999999), written(True)
    ('-12.5', '0', '10', 'true')
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return value
    number = f"{value:.{decimals}f}"
    number = number.rstrip("0").rstrip(".") if "." in number else number
    return "0" if number == "-0" else number


def _columns(sheet: Sheet, figures: Mapping[str, Figure]) -> list[tuple[str, str]]:
    first = sheet.rows[0].poses
    rest = {who: rest_of(figure) for who, figure in figures.items()}
    off: dict[tuple[str, str], None] = {}
    for who, pose in first.items():
        for channel, value in pose.items():
            if who == VIEW or channel in ("x", "y") or value != rest[who][channel]:
                off[who, channel] = None
    seen: Mapping[str, Mapping[str, Value]] = first
    for row in sheet.rows:
        for who, pose in row.poses.items():
            if pose is not seen[who]:
                off |= {(who, c): None for c, value in pose.items() if value != first[who][c]}
        seen = row.poses
    return [(who, c) for who, pose in first.items() for c in pose if (who, c) in off]


def _lines(text: str) -> tuple[str, list[tuple[int, list[str]]]]:
    """What parts the columns, and each line that is not empty with its number."""
    heading, _, after = text.partition("\n")
    skipped = 0
    if heading.startswith("sep="):
        text, heading, skipped = after, after.partition("\n")[0], 1
    parted = max(SEPARATORS, key=heading.count)
    reader = csv.reader(StringIO(text, newline=""), delimiter=parted)
    lines = [(reader.line_num + skipped, [cell.strip() for cell in cells]) for cells in reader]
    return parted, [(n, cells) for n, cells in lines if any(cells)]


def _heading(cells: Sequence[str], sheet: Sheet) -> tuple[list[str], list[Fault]]:
    """The columns, those that cannot be used as empty names."""
    known = [f"{who}.{channel}" for who, pose in sheet.rows[0].poses.items() for channel in pose]
    usable = {"", *FIXED, SAYS, *known}
    columns: list[str] = []
    faults: list[Fault] = []
    for cell in cells:
        column = cell.lower() if cell.lower() in (*FIXED, SAYS) else cell
        if column not in usable:
            faults.append(Fault((1, column), f"column {column!r}", "member.channel", likely(column, known)))
        elif column and column in columns:
            faults.append(Fault((1, column), "two columns of that name", "one", "take one of them out"))
        columns.append(column if column in usable and column not in columns else "")
    return columns, faults


def _beyond(cells: Sequence[str], n: int, columns: int) -> Fault | None:
    """The first filled cell to the right of the heading."""
    for k, cell in enumerate(cells[columns:], start=columns + 1):
        if cell:
            found = f"{cell[:60]!r} beyond the heading, which has {columns} columns"
            remedy = (
                "write numbers with a point, or part the columns by semicolons; take out what is not theirs"
            )
            return Fault((n, str(k)), found, "no more cells than columns", remedy)
    return None


def _row(
    cells: Sequence[str], n: int, rows: Mapping[int, Row], seen: dict[int, int], *, comma: bool
) -> Row | Fault:
    path = (n, "frame")
    at = _number(cells[0], comma=comma)
    row = rows.get(int(at)) if at is not None and at.is_integer() else None
    if row is None:
        remedy = "keep the column frame as it was written"
        return Fault(path, repr(cells[0][:60]), "the first frame of an exposure", remedy)
    if row.frame in seen:
        found = f"frame {row.frame} again, as on line {seen[row.frame]}"
        return Fault(path, found, "each exposure once", "take one of the lines out")
    seen[row.frame] = n
    return row


def _frames(cell: str, row: Row, n: int, *, comma: bool) -> list[Fault]:
    if _number(cell, comma=comma) == row.frames:
        return []
    remedy = "put it back; how long things take is said by the panels and the moves of the scene"
    return [Fault((n, "frames"), repr(cell[:60]), f"{row.frames}, as in the sheet", remedy)]


def _read(cell: str, like: Value, *, comma: bool) -> object:
    if isinstance(like, bool):
        return {"true": True, "false": False}.get(cell.lower(), cell)
    if isinstance(like, str):
        return cell
    number = _number(cell, comma=comma)
    return cell if number is None else number


def _number(cell: str, *, comma: bool) -> float | None:
    """A number as spreadsheets write it: 2, 2.0, or 2,0 with a decimal ``comma``; None when it is none."""
    plain = cell.replace(",", ".") if comma else cell
    return float(plain) if NUMBER.fullmatch(plain) else None
