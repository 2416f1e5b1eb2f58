"""``splitpin make``."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Annotated

import typer

from splitpin.command.options import HERE, Here, Json
from splitpin.command.speak import guarded, out, printable, say_json
from splitpin.command.telling import telling

if TYPE_CHECKING:
    from splitpin.jobs.make import Made
    from splitpin.jobs.shop import MadeOutlet

STOPPED = "stopped; what is finished is kept: run the same command again to go on"

BESIDE = {
    ".vtt": "captions",
    ".srt": "captions",
    ".svg": "how loud it is all along",
    ".edl": "scenes and panels alone",
}
"""What a file is that lies beside what an outlet is."""


def make(
    folder: Here = HERE,
    outlet: Annotated[
        list[str] | None,
        typer.Option(
            "--outlet",
            metavar="NAME",
            help="An outlet in film.toml, all of them when left out; or a standard one. May be repeated.",
        ),
    ] = None,
    scene: Annotated[
        list[str] | None,
        typer.Option(
            "--scene", metavar="NAME", help="Only this scene, as a film of its own; may be repeated."
        ),
    ] = None,
    workers: Annotated[
        int | None,
        typer.Option(min=1, max=256, help="How much is done at a time; one for each core when left out."),
    ] = None,
    as_json: Json = False,
) -> None:
    """Make the film. It is in made/ when this is done.

    Only what changed since the last time is made again. Ctrl-C leaves what is finished, and the next run goes
    on from there. The exit code is 2 while the folder has mistakes.

    Like this:

        splitpin make hello

        splitpin make hello --scene 010-first --json
    """
    with guarded(folder, as_json=as_json, stopped=STOPPED):
        from splitpin.jobs.make import make as make_film

        with telling(quiet=as_json) as told:
            made = make_film(folder, outlet or None, scene or None, workers, told.frames, told.doing)
        if as_json:
            say_json(_as_data(made))
        else:
            _tell(made)


def _as_data(made: Made) -> dict[str, object]:
    return {
        "files": [str(file) for file in made.files],
        "frames": made.frames,
        "seconds": made.seconds,
        "loudness": _number(made.loudness),
        "true_peak": _number(made.true_peak),
        "outlets": [
            {
                "name": o.name,
                "files": [str(file) for file in o.files],
                "loudness": _number(o.loudness),
                "true_peak": _number(o.true_peak),
                "range": _number(o.range),
                "told": o.told,
                "screening": o.screening,
            }
            for o in made.outlets
        ],
        "segments": {"made": made.counts.segments_made, "reused": made.counts.segments_reused},
        "warnings": list(made.warnings),
    }


def _tell(made: Made) -> None:
    console = out()
    for warning in made.warnings:
        console.print(printable(f"warning: {warning}"), style="yellow", markup=False)
    for outlet in made.outlets:
        words = [outlet.told or f"{made.frames} frames, {made.seconds:.2f} s"]
        if outlet.loudness is not None:
            words.append(_loud(outlet))
        if outlet.screening is not None and outlet.screening["passed"]:
            words.append("screened for flashes: nothing found")
        first, *further = outlet.files
        console.print(printable(f"{first}  {', '.join(words)}"), markup=False)
        for file in [] if first.is_dir() else further:
            console.print(printable(f"{file}  {BESIDE.get(file.suffix, '')}".rstrip()), markup=False)


def _loud(outlet: MadeOutlet) -> str:
    """How loud an outlet with sound is, in words."""
    loudness, span, peak = outlet.loudness, outlet.range, outlet.true_peak
    if loudness is None or not math.isfinite(loudness):
        return "no sound"
    words = [f"{loudness:.1f} LUFS"]
    if span is not None:
        words.append(f"range {span:.1f} LU")
    if peak is not None:
        words.append(f"peak {peak:.1f} dBTP")
    return ", ".join(words)


def _number(value: float | None) -> float | None:
    # As it is said to people, in tenths. JSON knows no infinity: silence has no loudness.
    return None if value is None or not math.isfinite(value) else round(value, 1)
