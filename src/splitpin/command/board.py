"""``splitpin board``."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from splitpin.command.options import Folder, Json
from splitpin.command.speak import guarded, out, printable, say_json
from splitpin.folder.mistake import FolderError

if TYPE_CHECKING:
    from splitpin.folder.load import FilmFolder


def board(
    folder: Folder,
    panel: Annotated[
        str | None, typer.Option(metavar="SCENE/PANEL", help="A card to change.", show_default=False)
    ] = None,
    new: Annotated[
        str | None, typer.Option(metavar="NAME", help="Put a new card before it.", show_default=False)
    ] = None,
    after: Annotated[bool, typer.Option("--after", help="Put it behind instead.")] = False,
    split: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", min=0, help="Part it after so long.", show_default=False),
    ] = None,
    join: Annotated[bool, typer.Option("--join", help="Make one card of it and the next.")] = False,
    at: Annotated[
        int | None,
        typer.Option(metavar="N", min=1, help="Lay it in another place, from 1.", show_default=False),
    ] = None,
    name: Annotated[
        str | None, typer.Option(metavar="NAME", help="Call it something else.", show_default=False)
    ] = None,
    remove: Annotated[bool, typer.Option("--remove", help="Take it out, with what hangs on it.")] = False,
    drawing: Annotated[
        Path | None, typer.Option(metavar="PICTURE", help="Lay a picture on it.", show_default=False)
    ] = None,
    as_json: Json = False,
) -> None:
    """Tell the board, or change one of its cards.

    Like this:

        splitpin board exact-change

        splitpin board exact-change --panel 010-wall/cat --split 1.5
    """
    with guarded(folder, as_json=as_json):
        from splitpin.folder.load import load
        from splitpin.jobs.board import (
            Card,
            add_panel,
            join_panel,
            move_panel,
            name_panel,
            remove_panel,
            split_panel,
        )
        from splitpin.jobs.drawing import lay_drawing
        from splitpin.measure.rate import nearest_frame

        scene, _, card = (panel or "").partition("/")
        root = folder
        wanted: list[Callable[[], object]] = []
        if new is not None:
            wanted.append(lambda: add_panel(root, scene, Card(root, scene, card).place + after, new))
        if split is not None:
            rate = load(root).film.exact_rate
            wanted.append(lambda: split_panel(root, scene, card, nearest_frame(split, rate)))
        if join:
            wanted.append(lambda: join_panel(root, scene, card))
        if at is not None:
            wanted.append(lambda: move_panel(root, scene, card, at - 1))
        if name is not None:
            wanted.append(lambda: name_panel(root, scene, card, name))
        if remove:
            wanted.append(lambda: remove_panel(root, scene, card))
        if drawing is not None:
            wanted.append(lambda: lay_drawing(root, scene, card, drawing))
        if (panel is not None and not (scene and card and len(wanted) == 1)) or (wanted and panel is None):
            raise FolderError(
                "board", "no single thing to do with a card", "--panel SCENE/PANEL and one thing to do",
                "see: splitpin board --help",
            )  # fmt: skip
        for action in wanted:
            action()
        found = load(root)
        cards = list(_cards(found))
        if as_json:
            say_json({"cards": cards})
            return
        for one in cards:
            words = " · ".join(str(one[key]) for key in ("action", "sound", "says") if one[key])
            head = f"{one['scene']}/{one['panel']}"
            out().print(printable(f"{one['seconds']:8.2f} s  {head:<32}  {words}".rstrip()), markup=False)
        total = sum(float(str(one["seconds"])) for one in cards)
        out().print(f"{total:8.2f} s  {len(cards)} cards", markup=False)


def _cards(folder: FilmFolder) -> Iterator[dict[str, object]]:
    from splitpin.sheet.timing import time_panels

    rate = folder.film.exact_rate
    for scene in folder.film.scenes:
        if scene not in folder.scenes:
            continue
        panels = folder.scenes[scene].panels
        for one, span in zip(panels, time_panels(panels, rate, 1)[0].panels, strict=True):
            yield {
                "scene": scene, "panel": one.name, "frames": span.frames,
                "seconds": round(float(span.frames / rate), 3), "action": one.action, "sound": one.sound,
                "says": one.spoken, "drawing": one.drawing,
            }  # fmt: skip
