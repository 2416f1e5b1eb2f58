"""Exposure sheets in the form of the trade: frames down the page, a column for each who moves."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from fractions import Fraction
from math import ceil, floor
from typing import Literal, NamedTuple, cast

from splitpin.measure.footage import footage_of
from splitpin.paper.kitting import Kitting, Staged
from splitpin.paper.page import (
    BLACK,
    BOLD,
    HAIR,
    LINE,
    PALE,
    PENCIL,
    THIN,
    Mark,
    Page,
    Stroke,
    Words,
    wrapped,
)
from splitpin.paper.stock import Field, room_on
from splitpin.sheet.channels import VIEW
from splitpin.sheet.sheet import Row
from splitpin.sheet.words import cells

LEAST_FRAME = 2.4
"""How high a frame is at least, mm: an exposure on twos is then high enough to write in."""
MOST_SECONDS = 4
"""A page holds no more, so that larger paper has larger rows."""
HEAD = 13.0
"""For what is said of the page and over its columns, mm."""
FRAME, ACTION, SPOKEN, SOUND, SEEN, NOTE = 11.0, 28.0, 20.0, 16.0, 16.0, 18.0
"""Widths of columns, mm."""
MEMBER = 22.0
"""The column of a member is at least so wide, mm."""
SIZE = 6.4
"""Of words, points."""
SIZES = (SIZE, 5.4, 4.6, 3.9, 3.3)
"""Of words in cells: smaller where there is little room."""
LEADING = 0.40
"""Millimetres from line to line for each point."""


Kind = Literal["frame", "action", "member", "dialogue", "sound", "notes"]
Rows = Sequence[tuple[int, Row]]
"""Rows with their places in the scene's sheet."""


class Column(NamedTuple):
    """One column of a page."""

    kind: Kind
    name: str
    """What stands over it; of a member, or of the view, its name."""
    x: float
    width: float


class Written(NamedTuple):
    """What stands on a scene's sheet."""

    rows: tuple[Row, ...]
    cells: tuple[Mapping[str, str], ...]
    """What changes on each row, by member."""
    moving: tuple[str, ...]
    """The members that have columns of their own."""
    still: tuple[str, ...]
    """What is said of those that have none."""


class Side(NamedTuple):
    """One page of it: so many frames, so many columns."""

    kitting: Kitting
    staged: Staged
    sheet: Written
    columns: Sequence[Column]
    body: Field
    """Below the titles of the columns."""
    first: int
    """Its first frame in the scene."""
    frames: int
    """How many have room."""

    @property
    def end(self) -> int:
        """The first frame after its last."""
        return min(self.first + self.frames, self.staged.sheet.frames)

    @property
    def high(self) -> float:
        """The height of a frame, mm."""
        return self.body.height / self.frames

    @property
    def right(self) -> float:
        """Where its last column ends."""
        return self.columns[-1].x + self.columns[-1].width

    def y(self, frame: int) -> float:
        """Where a frame begins, as far as that is on this page."""
        return self.body.top - (min(max(frame, self.first), self.end) - self.first) * self.high


def exposure_sheets(kitting: Kitting) -> list[Page]:
    """The sheets of all scenes; where there are more members than columns the sheet goes on beside itself."""
    room = room_on(kitting.stock)
    body = Field(room.x, room.y, room.width, room.height - HEAD)
    frames = frames_on(body.height, kitting.rate)
    pages: list[Page] = []
    for staged in kitting.scenes:
        sheet = written(staged)
        beside = list(_beside(sheet.moving, body))
        sides = [
            Side(kitting, staged, sheet, columns, body, first, frames)
            for first in range(0, staged.sheet.frames, frames)
            for n, columns in enumerate(beside)
            if n == 0 or _changes(sheet, columns, first, first + frames)
        ]
        for n, side in enumerate(sides):
            what = f"Exposure sheet {staged.name}, frames {side.first} to {side.end - 1}"
            title = what if len(sides) == 1 else f"{what} ({n + 1} of {len(sides)})"
            pages.append(Page("sheets", title, kitting.stock, tuple(_marks(side))))
    return pages


def _changes(sheet: Written, columns: Sequence[Column], first: int, end: int) -> bool:
    """Whether anybody with a column changes on these frames: no paper is spent on holds alone."""
    names = {column.name for column in columns if column.kind == "member"}
    return any(
        names & set(told)
        for row, told in zip(sheet.rows, sheet.cells, strict=True)
        if first <= row.frame < end
    )


def frames_on(height: float, rate: Fraction) -> int:
    """How many frames a page holds: whole seconds where that can be."""
    most = max(1, floor(height / LEAST_FRAME))
    seconds = min(MOST_SECONDS, floor(most / rate))
    return ceil(seconds * rate) if seconds else most


def written(staged: Staged) -> Written:
    """What stands on a scene's sheet: who changes on any exposure after the first has a column."""
    told = tuple(cells(staged.sheet))
    moving = tuple(who for who in staged.scene.cast if any(who in cell for cell in told[1:]))
    first = told[0] if told else {}
    still = tuple(f"{who} {first[who]}" for who in staged.scene.cast if who not in moving and who in first)
    return Written(staged.sheet.rows, told, moving, still)


def _beside(moving: Sequence[str], body: Field) -> Iterator[list[Column]]:
    """The columns of each page that lies beside the others."""
    fixed = FRAME + ACTION + SPOKEN + SOUND + SEEN + NOTE
    here = max(1, floor((body.width - fixed) / MEMBER))
    # a sheet on which little moves has room to write in all the same
    mine = [*moving[:here], *[""] * max(0, min(2, here) - len(moving))]
    wide = (body.width - fixed) / len(mine)
    yield list(
        _columns(
            [
                ("frame", FRAME), ("action", ACTION), *((who, wide) for who in mine),
                ("dialogue", SPOKEN), ("sound", SOUND), (VIEW, SEEN), ("notes", NOTE),
            ],
            body.x, {"frame", "action", "dialogue", "sound", "notes"},
        )
    )  # fmt: skip
    rest = moving[here:]
    each = max(1, floor((body.width - FRAME) / (MEMBER + 4.0)))
    for n in range(0, len(rest), each):
        these = rest[n : n + each]
        wide = min((body.width - FRAME) / len(these), 2 * MEMBER)
        yield list(_columns([("frame", FRAME), *((who, wide) for who in these)], body.x, {"frame"}))


def _columns(widths: Sequence[tuple[str, float]], x: float, own: Collection[str]) -> Iterator[Column]:
    """A member may be called as one of our own columns is; what is ours comes once, in its place."""
    left = set(own)
    for name, width in widths:
        kind: Kind = "member"
        if name in left and (name != "frame" or width == FRAME):
            kind = cast("Kind", name)
            left.remove(name)
        yield Column(kind, name, x, width)
        x += width


def _marks(side: Side) -> Iterator[Mark]:
    for column in side.columns:
        if column.kind == "sound":
            yield from _wave(side, column)
    yield from _head(side)
    yield from _rules(side)
    rows = [
        (n, row)
        for n, row in enumerate(side.sheet.rows)
        if row.frame < side.end and row.frame + row.frames > side.first
    ]
    for column in side.columns:
        yield from _WRITERS[column.kind](side, column, rows)


def _head(side: Side) -> Iterator[Mark]:
    body, rate, long = side.body, side.kitting.rate, side.staged.sheet.frames
    words = f"{long} frames, {float(long / rate):.2f} s, {footage_of(long)} of 35 mm"
    if side.sheet.still:
        words += f"; lie still: {' · '.join(side.sheet.still)}"
    lines = wrapped(words, body.width, SIZE, side.kitting.type)
    for n, line in enumerate([*lines[:1], " ".join(lines[1:])]):
        yield Words(line, body.x, body.top + HEAD - 3.0 - n * 3.0, SIZE, PENCIL, room=body.width)
    for column in side.columns:
        title = "view" if column.name == VIEW else column.name
        yield Words(title, column.x + 0.8, body.top + 1.4, 7.5, BLACK, room=column.width - 1.2, bold=True)
        right = column.x + column.width
        yield Stroke(((right, side.y(side.end)), (right, body.top + 4.6)), THIN, PENCIL)
    yield Stroke(((body.x, body.top), (side.right, body.top)), BOLD)


def _rules(side: Side) -> Iterator[Mark]:
    """Over each frame a line: heavy where a second begins, lighter where half of one does, pale in a hold."""
    exposed = {row.frame for row in side.sheet.rows} | {side.end}
    for frame in range(side.first + 1, side.end + 1):
        y = side.y(frame)
        width, grey = _weight(frame, side.kitting.rate)
        if width == HAIR and frame in exposed:
            grey = PENCIL
        yield Stroke(((side.body.x, y), (side.right, y)), width, grey)


def _weight(frame: int, rate: Fraction) -> tuple[float, float]:
    def begins(part: Fraction) -> bool:
        return frame == ceil(floor(frame / part) * part)

    if begins(rate):
        return BOLD, BLACK
    return (LINE, BLACK) if begins(rate / 2) else (HAIR, PALE)


def _wave(side: Side, column: Column) -> Iterator[Mark]:
    """The loudest sample of each frame as a band about the column's middle."""
    peaks = side.kitting.peaks(side.staged.name)[side.first : side.end]
    if not any(peaks):
        return
    middle, half = column.x + column.width / 2, column.width / 2 - 1.0
    right = [
        (middle + peak * half, side.y(side.first + n + k)) for n, peak in enumerate(peaks) for k in (0, 1)
    ]
    left = [(2 * middle - x, y) for x, y in reversed(right)]
    yield Stroke((*right, *left), 0.0, closed=True, fill=PALE)


def _numbers(side: Side, column: Column, rows: Rows) -> Iterator[Mark]:
    """The frames that each exposure holds, and the second where one begins."""
    for _, row in rows:
        field = _cell(side, column, row)
        words = f"{row.frame}" if row.frames == 1 else f"{row.frame}–{row.frame + row.frames - 1}"
        size = min(SIZE, field.height / LEADING)
        y = field.top - size * LEADING * 0.9
        yield Words(words, field.x + 0.6, y, size, room=field.width - 1.0)
        if _weight(row.frame, side.kitting.rate)[0] == BOLD and field.height > 1.9 * size * LEADING:
            second = floor(row.frame / side.kitting.rate)
            told = f"{second // 60}:{second % 60:02}"
            yield Words(told, field.x + 0.6, y - size * LEADING, size, bold=True)


def _actions(side: Side, column: Column, _: Rows) -> Iterator[Mark]:
    """Each panel's name and what happens in it, down the column as far as the next."""
    panels = {panel.name: panel for panel in side.staged.scene.panels}
    for name, start, frames in side.staged.sheet.panels:
        if not side.first <= start < side.end:
            continue
        y, foot = side.y(start) - 2.6, side.y(start + frames)
        yield Words(name, column.x + 0.8, y, 7.0, room=column.width - 1.4, bold=True)
        for line in wrapped(panels[name].action, column.width - 1.6, SIZE, side.kitting.type):
            y -= SIZE * LEADING
            if y >= foot + 0.4:
                yield Words(line, column.x + 0.8, y, SIZE)


def _member(side: Side, column: Column, rows: Rows) -> Iterator[Mark]:
    """Where somebody lies when that changes, and a line down while it does not."""
    if not column.name:
        return
    since = None if side.first == 0 else side.y(side.first)
    for n, row in rows:
        text = side.sheet.cells[n].get(column.name, "") if row.frame >= side.first else ""
        if text:
            field = _cell(side, column, row)
            yield from _held(column, since, field.top)
            yield from _in(side, text, field)
            since = field.y
    yield from _held(column, since, side.y(side.end))


def _held(column: Column, top: float | None, foot: float) -> Iterator[Mark]:
    if top is not None and top - foot > 0.5:
        x = column.x + column.width / 2
        yield Stroke(((x, top - 0.4), (x, foot + 0.4)), THIN, PENCIL)


def _dialogue(side: Side, column: Column, rows: Rows) -> Iterator[Mark]:
    for _, row in rows:
        yield from _in(side, " ".join(map(str, row.says)), _cell(side, column, row))


def _sounds(side: Side, column: Column, rows: Rows) -> Iterator[Mark]:
    for _, row in rows:
        if row.frame >= side.first:
            yield from _in(side, " · ".join(row.sounds), _cell(side, column, row))


def _notes(side: Side, column: Column, rows: Rows) -> Iterator[Mark]:
    panels = {panel.name: panel for panel in side.staged.scene.panels}
    starts = {start: name for name, start, _ in side.staged.sheet.panels}
    for _, row in rows:
        if row.frame >= side.first:
            panel = panels[starts[row.frame]] if row.frame in starts else None
            # on the first exposure of a panel its action stands there too, which has a column of its own
            own = row.note if panel is None else row.note.removeprefix(panel.action).strip(" ·;")
            notes = [panel.note if panel else "", own]
            yield from _in(side, " · ".join(note for note in notes if note), _cell(side, column, row))


def _cell(side: Side, column: Column, row: Row) -> Field:
    top, foot = side.y(row.frame), side.y(row.frame + row.frames)
    return Field(column.x, foot, column.width, top - foot)


def _in(side: Side, text: str, field: Field) -> Iterator[Mark]:
    """Words in a cell: smaller where they need it, and cut off only where nothing else is left."""
    if not text.strip():
        return
    room = field.width - 1.2
    for size in SIZES:
        most = max(1, floor((field.height - 0.1) / (size * LEADING)))
        lines = wrapped(text, room, size, side.kitting.type)
        if len(lines) <= most and size * LEADING <= field.height + 0.1:
            break
    lines = [*lines[: most - 1], " ".join(lines[most - 1 :])]
    for n, line in enumerate(lines):
        y = field.top - (n + 0.86) * size * LEADING
        yield Words(line, field.x + 0.7, y, size, room=room)


_WRITERS: dict[Kind, Callable[[Side, Column, Rows], Iterator[Mark]]] = {
    "frame": _numbers,
    "action": _actions,
    "member": _member,
    "dialogue": _dialogue,
    "sound": _sounds,
    "notes": _notes,
}
