"""``splitpin pose``."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from splitpin.command.options import Folder, Frame, Json, SceneName, Who
from splitpin.command.speak import guarded, out, printable, say_json


class Holds(StrEnum):
    """How long a pose holds."""

    on = "on"
    here = "here"
    opening = "opening"


def pose(
    folder: Folder,
    scene: SceneName,
    who: Who,
    frame: Frame,
    said: Annotated[
        str,
        typer.Option(
            "--set", metavar="'KEY = …'", help="Channels and their values, in mm and degrees.",
            show_default=False,
        ),
    ],
    hold: Annotated[
        Holds, typer.Option(help="From there on, on that exposure alone, or as the scene opens.")
    ] = Holds.on,
    as_json: Json = False,
) -> None:  # fmt: skip
    """Lay a member of a scene, or its view, otherwise from an exposure on: straight-ahead work.

    Positions of one member that follow one another become one move `posed` of the scene. Where another move
    goes on with what is laid, only this exposure is changed, as a touch, and that is told.

    Like this:

        splitpin pose exact-change 020-coin --frame 10 --who cat --set 'x = -60, head.angle = 5'

        splitpin pose exact-change 020-coin --frame 12 --who cat --set 'eyes.shows = "wide"' --hold here
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.pose import pose as lay_otherwise
        from splitpin.jobs.said import read_said

        done = lay_otherwise(folder, scene, frame, who, read_said("--set", said), hold.value)
        if as_json:
            say_json({"scene": scene, "frame": done.frame, "hold": done.hold})
            return
        holds = {"on": "from there on", "here": "on that exposure alone", "opening": "as the scene opens"}
        words = f"{who} in {scene}, exposure at frame {done.frame}: laid so {holds[done.hold]}"
        if hold.value != done.hold == "here":
            words += ", because a move goes on there"
        out().print(printable(words), markup=False)
