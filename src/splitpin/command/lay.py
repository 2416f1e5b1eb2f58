"""``splitpin lay``."""

from __future__ import annotations

from typing import Annotated

import typer

from splitpin.command.options import Folder, Frame, Json, SceneName, Who
from splitpin.command.speak import guarded, out, printable, say_json


def lay(
    folder: Folder,
    scene: SceneName,
    move: Annotated[str, typer.Argument(metavar="MOVE", help="Which move: slide, bend, walk …")],
    who: Who,
    frame: Frame,
    said: Annotated[
        str, typer.Option("--set", metavar="'KEY = …'", help="The move's keys, as in a scene's document.")
    ] = "",
    as_json: Json = False,
) -> None:
    """Lay a move: from how things lie on an exposure, it works from the next one on.

    What keys each move has: docs/film-folder.md.

    Like this:

        splitpin lay exact-change 020-coin slide --who cup --frame 10 --set 'by = [20, 0], seconds = 1'

        splitpin lay exact-change 020-coin bend --who cat --frame 30 --set 'piece = "head", to = 8'
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.lay import lay as lay_move
        from splitpin.jobs.said import read_said
        from splitpin.sheet.ways import rows_of

        done = lay_move(folder, scene, frame, {**read_said("--set", said), "move": move, "who": who})
        span = done.staged.sheet.spans[done.move]
        rows = rows_of(done.staged.sheet, done.staged.plan, span)
        first, end = rows[0].frame, rows[-1].frame + rows[-1].frames
        if as_json:
            say_json({"scene": scene, "move": done.move, "frame": first, "frames": end - first})
            return
        words = f"{move} of {who} in {scene}: frames {first} to {end - 1}, {span.exposures} positions"
        out().print(printable(words), markup=False)
