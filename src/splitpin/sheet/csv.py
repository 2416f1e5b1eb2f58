"""The sheet as a table for a spreadsheet, and what was changed there as touches.

One line an exposure: its first frame, its frames, its panel, then one column for each channel that is ever
off its rest (``cat.x``, ``cat.head.angle``, ``view.width``); millimetres and degrees, numbers written so that
they read back exactly.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from io import StringIO

from splitpin.character.channels import wrong_value
from splitpin.character.figure import Figure
from splitpin.character.pose import Value
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.scene.scene import Touch
from splitpin.sheet.channels import VIEW, rest_of
from splitpin.sheet.sheet import Row, Sheet

FIXED = ("frame", "frames", "panel")


def write_csv(sheet: Sheet, figures: Mapping[str, Figure]) -> str:
    """The sheet as comma-separated values (RFC 4180), lines ended by CR LF."""
    columns = _columns(sheet, figures)
    text = StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow([*FIXED, *(f"{who}.{channel}" for who, channel in columns)])
    for row in sheet.rows:
        values = (_written(row.poses[who][channel]) for who, channel in columns)
        writer.writerow([row.frame, row.frames, row.panel, *values])
    return text.getvalue()


def read_csv(text: str, sheet: Sheet, figures: Mapping[str, Figure]) -> tuple[list[Touch], list[Fault]]:
    """Compare a table with the sheet and make a touch of every exposure that was changed in it.

    Empty cells and columns that are not there change nothing. A fault's path is the line of the table (the
    heading is line 1) and the column.
    """
    touches: list[Touch] = []
    faults: list[Fault] = []
    lines = list(csv.reader(StringIO(text, newline="")))
    if not lines or lines[0][:1] != ["frame"]:
        found = "nothing" if not lines else repr(",".join(lines[0])[:60])
        return [], [
            Fault((1,), found, "a heading that starts with frame,frames,panel", "write the table anew")
        ]
    heading = lines[0]
    rows = {row.frame: row for row in sheet.rows}
    panels = {name: start for name, start, _ in sheet.panels}
    known = [f"{who}.{channel}" for who, pose in sheet.rows[0].poses.items() for channel in pose]
    for column in heading:
        if column not in FIXED and column not in known:
            faults.append(Fault((1, column), f"column {column!r}", "member.channel", likely(column, known)))
    for n, line in enumerate(lines[1:], start=2):
        if not line:
            continue
        row = rows.get(int(line[0])) if line[0].isdecimal() else None
        if row is None:
            remedy = "keep the column frame as it was written"
            faults.append(Fault((n, "frame"), repr(line[0]), "the first frame of an exposure", remedy))
            continue
        changed: dict[str, dict[str, object]] = {}
        for column, cell in zip(heading, line, strict=False):
            if column in FIXED or column not in known or cell == "":
                continue
            who, _, channel = column.partition(".")
            value = _read(cell, row.poses[who][channel])
            fault = wrong_value(channel, value, row.poses[who][channel], figures.get(who), (n, column))
            if fault is not None:
                faults.append(fault)
            elif value != row.poses[who][channel]:
                changed.setdefault(who, {})[channel] = value
        touches += [_touch(row, panels, who, values) for who, values in changed.items()]
    return touches, faults


def _touch(row: Row, panels: Mapping[str, int], who: str, values: dict[str, object]) -> Touch:
    return Touch(who=who, panel=row.panel, frame=row.frame - panels[row.panel], set=values)


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


def _written(value: Value) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return value if isinstance(value, str) else repr(float(value))


def _read(cell: str, like: Value) -> object:
    if isinstance(like, bool):
        return {"true": True, "false": False}.get(cell.strip().lower(), cell)
    if isinstance(like, str):
        return cell
    try:
        return float(cell)
    except ValueError:
        return cell
