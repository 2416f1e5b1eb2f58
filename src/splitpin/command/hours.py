"""``splitpin hours``."""

from __future__ import annotations

from typing import Annotated

import typer

from splitpin.command.options import Folder, Json
from splitpin.command.speak import guarded, out, printable, say_json

HOUR = 3600.0


def hours(
    folder: Folder,
    scene: Annotated[
        list[str] | None, typer.Option("--scene", metavar="SCENE", help="Only this scene; may be said again.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Say how long shooting on paper takes, in which order it is best shot, and what could be had for less.

    Like this:

        splitpin hours exact-change

    The pace is your own as soon as twenty takes have their times, else what is usual.
    """
    with guarded(folder, as_json=as_json):
        from splitpin.jobs.hours import hours as count

        found = count(folder, scene or None)
        if as_json:
            say_json(
                {
                    "setups": [
                        {
                            "setup": one.setup.name,
                            "scene": one.setup.scene,
                            "background": one.setup.background,
                            "view": None if one.setup.view is None else one.setup.view._asdict(),
                            "exposures": len(one.setup.rows),
                            "left": one.exposures,
                            "actions": one.actions,
                            "seconds": round(one.seconds),
                            "pieces": sorted(one.setup.pieces),
                            "spoilt": sorted(one.setup.spoilt),
                        }
                        for one in found.work
                    ],
                    "seconds": round(found.seconds),
                    "changes_minutes": found.changes,
                    "story_minutes": found.story,
                    "pace": found.pace._asdict(),
                    "cheaper": [one._asdict() for one in found.cheaper],
                }
            )
            return
        wide = max([8, *(len(one.setup.name) for one in found.work)])
        say = out().print
        say(printable(f"{'set-up':<{wide}}  left  actions   hours  on the table"), markup=False)
        for one in found.work:
            background = one.setup.background or "the bare table"
            line = (
                f"{one.setup.name:<{wide}}  {one.exposures:>4}  {one.actions:>7}  {one.seconds / HOUR:>6.1f}"
            )
            say(printable(f"{line}  {background}, {len(one.setup.pieces)} pieces"), markup=False)
        say(
            printable(f"{found.seconds / HOUR:.1f} hours, and {found.changes / 60:.1f} for changes"),
            markup=False,
        )
        saved = found.story - found.changes
        if saved > 0:
            say(
                printable(f"in the order of the story changes would take {saved:.0f} minutes more"),
                markup=False,
            )
        known = f"from {found.pace.takes} takes" if found.pace.takes else "as is usual"
        each = f"{found.pace.exposure:.0f} s an exposure, {found.pace.action:.0f} s an action"
        say(printable(f"pace {known}: {each}"), style="dim", markup=False)
        for dear in found.cheaper:
            told = f"{dear.setup}: {dear.way}, and save {dear.saves / 60:.0f} minutes"
            say(printable(told), style="yellow", markup=False)
