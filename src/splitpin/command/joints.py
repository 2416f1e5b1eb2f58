"""``splitpin joints``."""

from __future__ import annotations

from typing import Annotated

import typer

from splitpin.command.options import Folder, Json
from splitpin.command.speak import guarded, out, printable, say_json


def joints(
    folder: Folder,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The character.", show_default=False)],
    piece: Annotated[
        list[str] | None,
        typer.Option(metavar="PIECE", help="Only the joint of this piece; may be said again."),
    ] = None,
    as_json: Json = False,
) -> None:
    """Bend the joints of a character through their ranges, and say where they open.

    Like this:

        splitpin joints exact-change cat
    """
    with guarded(folder, as_json=as_json):
        from splitpin.folder.load import load
        from splitpin.jobs.joints import joints as bend

        found = bend(load(folder), name, piece or None)
        if as_json:
            say_json({
                "character": name,
                "joints": [
                    {
                        "piece": one.piece, "on": one.holder, "radius_mm": one.radius_mm,
                        "clear": list(one.clear), "bent": [bent._asdict() for bent in one.bent],
                    }
                    for one in found
                ],
            })  # fmt: skip
            return
        for one in found:
            low, high = one.bent[0].angle, one.bent[-1].angle
            words = f"{one.piece} on {one.holder}, {low:g}° to {high:g}°: "
            if one.radius_mm == 0:
                words += "its pin lies on no paper that both share"
            elif not any(bent.open for bent in one.bent):
                words += "closed"
            else:
                clear, worst = one.clear, one.worst
                ends = [f"{a:g}°" for a, end in zip(clear, (low, high), strict=True) if a != end]
                words += f"opens beyond {' and '.join(ends)}, widest at {worst.angle:g}°"
                words += f" by {worst.gap_mm2:.1f} mm²; let the pieces overlap more, or set limits"
            out().print(printable(words), markup=False)
