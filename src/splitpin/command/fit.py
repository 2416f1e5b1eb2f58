"""``splitpin fit``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from splitpin.command.options import Json, Ppi
from splitpin.command.speak import guarded, out, printable, say_json
from splitpin.command.telling import telling

if TYPE_CHECKING:
    from splitpin.jobs.fit import Fitted


def fit(
    place: Annotated[Path, typer.Argument(metavar="PICTURE|FOLDER", help="A picture, or a film folder.")],
    names: Annotated[
        list[str] | None, typer.Argument(metavar="NAME...", help="Pictures of the film; all when left out.")
    ] = None,
    angle: Annotated[
        float | None,
        typer.Option(
            metavar="DEG", help="Turn by so many degrees anticlockwise instead of looking.", min=-45, max=45
        ),
    ] = None,
    crop: Annotated[
        str | None, typer.Option(metavar="X,Y,W,H", help="Keep this box of the straightened picture.")
    ] = None,
    straighten: Annotated[bool, typer.Option(help="Look how it lies askew.")] = True,
    page: Annotated[bool, typer.Option(help="Crop to the page when its edges are found.")] = True,
    points: Annotated[bool, typer.Option(help="Make bare paper white and full ink black.")] = True,
    descreen: Annotated[bool, typer.Option(help="Smooth printed dots into tones.")] = True,
    ppi: Ppi = None,
    to: Annotated[
        Path | None, typer.Option("-o", "--out", metavar="FILE", help="Write the fitted picture as PNG.")
    ] = None,
    show: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write before and after, side by side, as PNG.")
    ] = None,
    again: Annotated[bool, typer.Option("--again", help="Write over pictures of these names.")] = False,
    as_json: Json = False,
) -> None:
    """Make scans fit: straight, cropped, with white paper and black ink, without printed dots.

    In a film folder the steps are written into the picture's document and can be changed there; the picture
    itself is never altered.

    Like this:

        splitpin fit scan.tif -o straight.png --show pair.png

        splitpin fit hello cat
    """
    with guarded(place, as_json=as_json):
        from splitpin.folder.mistake import FolderError
        from splitpin.jobs.fit import fit_picture
        from splitpin.jobs.found import pictures_in
        from splitpin.picture.find_fit import Wanted

        wanted = Wanted(straighten, angle, page, _box(crop), points, descreen)
        several: list[str | None] = list(names or (pictures_in(place) if place.is_dir() else [])) or [None]
        if len(several) > 1 and (to is not None or show is not None):
            raise FolderError(str(place), "one file for several pictures", "one picture", "name one picture")
        done = []
        with telling(quiet=as_json or len(several) == 1) as told:
            for number, name in enumerate(several, 1):
                told.thing(f"fitting {name}", number, len(several))
                done.append(fit_picture(place, name, wanted, ppi, to, show, again=again))
        if as_json:
            say_json({"pictures": [_as_data(d) for d in done]})
            return
        for d in done:
            dots = ", ".join(
                f"{s['lpi'] or s['cell']:g} {'lpi' if s['lpi'] else 'px'} at {s['angle']:g}°"
                for s in d.screens
            )
            turned = f"turned {d.fit.straighten:g}° (by {d.by})" if d.fit.straighten else "straight"
            printed = f"dots {dots}" if dots else "no dots"
            words = f"{d.name}: {turned}, {d.width} × {d.height}, {printed}"
            out().print(printable(words), markup=False)
            for note in _notes(d):
                out().print(printable(f"    {note}"), style="yellow", markup=False)


def _notes(d: Fitted) -> list[str]:
    """What a person should know of a picture that was fitted."""
    notes = []
    if d.inside is not None:
        box = ",".join(str(v) for v in d.inside)
        notes.append(f"its corners are filled with the tone of its edge; --crop {box} leaves them off")
    if d.soft is not None:
        notes.append(
            f"it looks enlarged or out of focus: its finest detail is {d.soft:.1f} pixels wide;"
            " a sharper scan or print would show more"
        )
    return notes


def _box(text: str | None) -> tuple[int, int, int, int] | None:
    if text is None:
        return None
    from splitpin.folder.mistake import FolderError
    from splitpin.jobs.asked import box_of

    box = box_of("--crop", text)
    if any(v != int(v) for v in box):
        raise FolderError("--crop", text, "four whole numbers", "write LEFT,TOP,WIDTH,HEIGHT")
    left, top, width, height = map(int, box)
    return left, top, width, height


def _as_data(d: Fitted) -> dict[str, object]:
    return {
        "name": d.name,
        "angle": d.fit.straighten,
        "by": d.by,
        "crop": d.fit.crop,
        "white": d.fit.white,
        "black": d.fit.black,
        "screens": d.screens,
        "ppi": d.ppi,
        "width": d.width,
        "height": d.height,
        "soft": None if d.soft is None else round(d.soft, 2),
        "inside": d.inside,
        "written": None if d.written is None else str(d.written),
    }
