"""A recipe for cutting, of what was asked for in words and files."""

from __future__ import annotations

import math
import re
from pathlib import Path

from pydantic import ValidationError

from splitpin.cutout.recipe import Recipe
from splitpin.folder.mistake import FolderError
from splitpin.folder.plainly import faults_in
from splitpin.jobs.json_file import read_json

MOST_MB = 4
POINTS = "points in pixels, [[x, y], …]"
STROKES = 'strokes, [{"points": [[x, y], …], "radius": pixels}, …]'

Box = tuple[float, float, float, float]


def asked(
    *,
    loop: Path | None,
    box: str | None,
    keep: Path | None,
    drop: Path | None,
    edge: str | None,
    knife: Path | None,
    ink: float,
    ppi: float | None,
    as_drawn: bool = False,
) -> Recipe:
    """A recipe of what was asked for; whoever gives points for a knife, or a line to be cut as it was drawn,
    asks for its edge.

    Raises
    ------
    FolderError
        When one of them says something else.
    """
    _refuse_against({"--loop": loop, "--box": box, "--keep": keep, "--drop": drop}, edge, knife, as_drawn)
    edge = edge or ("knife" if knife is not None or as_drawn else "soft")
    words: dict[str, object] = {"edge": edge, "ink_mm": float(ink), "ppi": ppi, "as_drawn": as_drawn}
    said = {"edge": ("--edge", edge), "ink_mm": ("--ink", f"{ink:g}"), "ppi": ("--ppi", f"{ppi or 0:g}")}
    if box is not None:
        words["box"], said["box"] = box_of("--box", box), ("--box", box)
    files = {
        "loop": (loop, POINTS),
        "knife": (knife, POINTS),
        "keep": (keep, STROKES),
        "drop": (drop, STROKES),
    }
    for key, (file, wanted) in files.items():
        if file is not None:
            words[key] = read_json(file, wanted, MOST_MB)
            if wanted == POINTS and words[key] == []:
                raise FolderError(str(file), "an empty list", wanted, "set points around the thing")
    try:
        return Recipe.model_validate(words)
    except ValidationError as e:
        fault = faults_in(e, Recipe, words)[0]
    key = str(fault.path[0])
    if key in said:
        where, found = said[key]
        raise FolderError(where, found[:80], fault.expected, f"give another {where}")
    file, wanted = files[key]
    place = "".join(f"[{p}]" if isinstance(p, int) else f".{p}" for p in fault.path[1:]) or "the top"
    # Of a key the fault tells the name too, but a person sees a list without one.
    found = re.sub(r"^`\w+` is ", "", fault.found)
    if fault.path[1:]:
        wanted += f"; there: {fault.expected}"
    raise FolderError(str(file), f"at {place}: {found}", wanted, "write it so")


def _refuse_against(around: dict[str, object], edge: str | None, knife: object, as_drawn: bool) -> None:
    """Refuse what would be listened to only in part.

    Raises
    ------
    FolderError
        When two options say two things.
    """
    said = [option for option, value in around.items() if value is not None]
    line = "--knife" if knife is not None else "--as-drawn" if as_drawn else ""
    if edge == "soft" and line:
        raise FolderError(
            "--edge", f"soft, and {line}", "one of them", f"leave {line} out, or say --edge knife"
        )
    # A line that is cut as it was drawn may be the loop itself.
    deaf = [o for o in said if line and (knife is not None or o in ("--keep", "--drop"))]
    if deaf:
        raise FolderError(
            line, f"{' and '.join(deaf)} beside it", "a line that says all: the knife goes by it alone",
            f"leave {' and '.join(deaf)} out, or leave {line} out and the edge is found",
        )  # fmt: skip


def box_of(option: str, text: str) -> Box:
    """A box from words, ``X,Y,W,H`` in pixels.

    Raises
    ------
    FolderError
        When it is something else, or has no inside.
    """
    wanted = "X,Y,W,H: four numbers, in pixels"
    try:
        left, top, width, height = (float(v) for v in text.split(","))
    except ValueError:
        raise FolderError(option, text[:80] or "nothing", wanted, f"write {option} 10,20,300,200") from None
    if not all(math.isfinite(v) and abs(v) <= 1e6 for v in (left, top, width, height)):
        raise FolderError(option, text[:80], wanted, "name a box in the picture")
    if width <= 0 or height <= 0:
        raise FolderError(
            option, f"a box {width:g} wide and {height:g} high", "a width and a height above 0",
            f"write {option} LEFT,TOP,WIDTH,HEIGHT",
        )  # fmt: skip
    return left, top, width, height
