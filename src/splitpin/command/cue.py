"""``splitpin cue``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import typer

from splitpin.command.options import Folder, Json, SceneName
from splitpin.command.speak import guarded, out, printable, say_json
from splitpin.folder.mistake import FolderError

if TYPE_CHECKING:
    from splitpin.jobs.cue import Kind


def cue(
    folder: Folder,
    scene: SceneName,
    sound: Annotated[
        str | None,
        typer.Argument(
            metavar="[SOUND]",
            help="A file in sounds/, or an effect of the kit, such as thud.",
            show_default=False,
        ),
    ] = None,
    frame: Annotated[
        int | None,
        typer.Option(
            min=0, metavar="N", help="The frame of the scene at which it starts.", show_default=False
        ),
    ] = None,
    event: Annotated[
        str, typer.Option(metavar="MOVE.EVENT", help="Or what it hangs on: roll.landing, walk.step.2.")
    ] = "",
    kind: Annotated[
        Literal["voice", "effect", "music"], typer.Option(help="What it is, for the mix.")
    ] = "effect",
    gain: Annotated[
        float, typer.Option(min=-120, max=40, metavar="DB", help="Louder or softer, in decibels.")
    ] = 0.0,
    remove: Annotated[
        int | None,
        typer.Option(min=0, metavar="N", help="Take this cue down, counted from 0.", show_default=False),
    ] = None,
    as_json: Json = False,
) -> None:
    """Hang a sound on a scene, at a frame or on an event of a move; or take one down.

    Like this:

        splitpin cue exact-change 020-coin clink --frame 24

        splitpin cue exact-change 020-coin thud --event hop.landing --gain -6
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.cue import hang, take_down

        if (sound is None) == (remove is None):
            raise FolderError("cue", "not one thing to do", "SOUND, or --remove", "say one of them")
        if remove is not None:
            gone = take_down(folder, scene, remove)
            told: dict[str, object] = {"scene": scene, "removed": remove, "sound": gone}
            words = f"{gone} is taken down in {scene}; it stays in sounds/"
        else:
            as_kind: Kind = kind
            done = hang(folder, scene, sound or "", frame, event, as_kind, gain)
            told = done._asdict()
            words = f"{done.sound} hangs in {scene}{', and was made' if done.made else ''}"
        if as_json:
            say_json(told)
        else:
            out().print(printable(words), markup=False)
