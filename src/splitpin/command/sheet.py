"""``splitpin sheet``."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Annotated

import typer

from splitpin.command.options import Folder, Json
from splitpin.command.speak import guarded, out, printable, say_json
from splitpin.folder.mistake import FolderError

if TYPE_CHECKING:
    from splitpin.character.place import Placed
    from splitpin.jobs.sheet import Taken
    from splitpin.scene.scene import Scene
    from splitpin.sheet.sheet import Row, Sheet

WIDTH = 100


def sheet(
    folder: Folder,
    scene: Annotated[
        str, typer.Argument(metavar="SCENE", help="A scene: the name of its document without .toml.")
    ],
    csv: Annotated[
        Path | None,
        typer.Option("--csv", metavar="FILE", help="Write the sheet as a table (CSV)."),
    ] = None,
    table: Annotated[
        Path | None,
        typer.Option("--in", metavar="FILE", help="Take in such a table: what was changed becomes touches."),
    ] = None,
    hold: Annotated[
        int | None,
        typer.Option(
            metavar="N", min=0, help="Hold exposures for N frames; 0 takes them out.", show_default=False
        ),
    ] = None,
    at: Annotated[
        int | None, typer.Option(metavar="FRAME", min=0, help="The exposure to hold.", show_default=False)
    ] = None,
    to: Annotated[
        int | None,
        typer.Option(metavar="FRAME", min=0, help="All exposures up to this one.", show_default=False),
    ] = None,
    again: Annotated[bool, typer.Option("--again", help="Write over a table of that name.")] = False,
    as_json: Json = False,
) -> None:
    """Show a scene's exposure sheet: one line an exposure.

    Each line has the exposure's first frame, the frames it is held for, its panel, and who lies otherwise
    than before: x and y in mm, the angle, then pieces and whatever else changed.

    Like this:

        splitpin sheet exact-change 010-wall

        splitpin sheet exact-change 010-wall --csv wall.csv

        splitpin sheet exact-change 010-wall --in wall.csv

        splitpin sheet exact-change 010-wall --hold 12 --at 30

    In a table that is taken in, lines, columns and cells that are not there change nothing, and a value set
    back to what the moves say is touched no more.
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.sheet import sheet_of, take_in, write_table

        said: dict[str, object] = {}
        words: list[str] = []
        if hold is not None or at is not None or to is not None:
            longer = _hold(folder, scene, hold, at, to)
            said["longer"] = longer
            words.append(f"{scene} is {abs(longer)} frames {'longer' if longer >= 0 else 'shorter'}")
        if table is not None:
            taken = take_in(folder, scene, table)
            touches = taken.added + taken.changed + taken.removed
            said |= {"touches": touches, **taken._asdict()}
            words += _words_of(taken, scene)
        if csv is not None:
            count = write_table(folder, scene, csv, again=again)
            said |= {"file": str(csv), "exposures": count}
            words.append(f"{count} exposures in {csv}")
        if said:
            if as_json:
                say_json(said)
            for line in () if as_json else words:
                out().print(printable(line), markup=False)
            return
        found = sheet_of(folder, scene)
        if as_json:
            say_json({"scene": scene, "rows": [_row_as_data(row) for row in found.sheet.rows]})
        else:
            for line in _lines(found.sheet, found.folder.scenes[scene]):
                out().print(printable(line), markup=False)


def _hold(folder: Path, scene: str, hold: int | None, at: int | None, to: int | None) -> int:
    from splitpin.jobs.retime import retime
    from splitpin.jobs.sheet import sheet_of

    if hold is None or at is None:
        raise FolderError("sheet", "half of what a hold takes", "--hold N and --at FRAME", "say both")
    rows = sheet_of(folder, scene).sheet.rows
    frames = [row.frame for row in rows if at <= row.frame <= (at if to is None else to)]
    return retime(folder, scene, dict.fromkeys(frames or [at], hold))


def _words_of(taken: Taken, scene: str) -> list[str]:
    counts = [f"{n} {how}" for how, n in zip(("new", "changed", "gone"), taken[:3], strict=True) if n]
    words = [f"touches of {scene}: {', '.join(counts) or 'none changed'}"]
    if taken.missing:
        words.append(f"{taken.missing} exposures have no line in the table; they are left as they are")
    return words


def _row_as_data(row: Row) -> dict[str, object]:
    return {
        "frame": row.frame,
        "frames": row.frames,
        "panel": row.panel,
        "pieces": [_piece_as_data(placed) for placed in row.placed],
        "view": row.view._asdict(),
        "sounds": list(row.sounds),
        "note": row.note,
        "says": [said._asdict() for said in row.says],
    }


def _piece_as_data(placed: Placed) -> dict[str, object]:
    """Where a piece lies, lowest first: its pin in mm on the table, y up; degrees anticlockwise."""
    x, y = placed.pin
    return {
        "who": placed.who,
        "piece": placed.piece,
        "cutout": placed.cutout,
        # To a millionth of a millimetre: finer than that is rounding of the computer. No minus before a 0.
        "x": round(x, 6) + 0.0,
        "y": round(y, 6) + 0.0,
        "angle": round(placed.angle, 6) + 0.0,
        "level": placed.level,
    }


def _lines(sheet: Sheet, scene: Scene) -> Iterator[str]:
    """The sheet for people: at most WIDTH letters a line, what does not fit on lines of its own."""
    from splitpin.sheet.words import moved, told

    wide = min(20, max(5, *(len(name) for name, _, _ in sheet.panels)))
    yield f"frame  held  {'panel':<{wide}}  who moves (x y angle), and what is heard, done and said"
    for row, members, words in zip(sheet.rows, moved(sheet), told(sheet, scene), strict=True):
        head = f"{row.frame:>5}  {row.frames:>4}  {_shortened(row.panel, wide):<{wide}}  "
        room = WIDTH - len(head)
        # A member's words stay together where they can: lines are not broken at spaces that do not break.
        kept = " | ".join(m.replace(" ", "\xa0") if len(m) < room - 2 else m for m in members)
        lines = [*_wrapped(kept, room), *_wrapped(words, room)]
        for n, line in enumerate(lines or [""]):
            yield f"{head if n == 0 else ' ' * len(head)}{line}".replace("\xa0", " ").rstrip()


def _wrapped(text: str, room: int) -> list[str]:
    return wrap(text, room, break_on_hyphens=False)


def _shortened(text: str, wide: int) -> str:
    """Text of at most so many letters."""
    return text if len(text) <= wide else f"{text[: wide - 1]}…"
