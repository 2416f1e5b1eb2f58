"""What an archive says of itself: whose it is, with what it was made, what stands on its box."""

from __future__ import annotations

import platform
from collections.abc import Sequence
from datetime import date
from importlib.metadata import PackageNotFoundError, version

from splitpin import __version__
from splitpin.folder.contents import MADE
from splitpin.folder.kinds import FILM_FILE
from splitpin.jobs.credits import Credits
from splitpin.jobs.ready import Ready
from splitpin.measure.rate import seconds_of
from splitpin.measure.timecode import label_of

FILM, FRAMES, DELIVERED = "film", "frames", "delivered"
"""The folders in ``data/``."""
SUMS = "frames.txt"
LIBRARIES = ("numpy", "numba", "opencv-python-headless", "pillow", "av", "soundfile", "soxr", "scipy")
"""What the pixels and the sound may depend on."""


def notes(film: Ready, rights: Credits, sums: Sequence[str], left: Sequence[str]) -> dict[str, bytes]:
    """The notes of an archive, by their names in ``data/``.

    Parameters
    ----------
    film
        The film.
    rights
        Whose pictures and sounds are in it.
    sums
        A line for each exposure, as :func:`splitpin.jobs.frame_sums.frame_sums` gives them.
    left
        The outlets whose pictures are not kept.
    """
    texts = {
        SUMS: "\n".join(sums) + "\n",
        "rights.txt": _rights(rights),
        "made-with.txt": _made_with(),
        "box-label.txt": _label(film),
        "read-me.txt": READ_ME + _left(left),
    }
    return {name: text.encode() for name, text in texts.items()}


def length(film: Ready) -> str:
    """How long a film is, for people."""
    rate = film.folder.film.exact_rate
    seconds = float(seconds_of(film.frames, rate))
    return f"{film.frames} frames, {seconds:.2f} s at {film.folder.film.rate} a second"


def _rights(rights: Credits) -> str:
    parts = [rights.record]
    if rights.unresolved:
        parts.append("Unresolved\n" + "\n".join(
            f"{c.kind} {c.name}: {'; '.join(c.unresolved)}" for c in rights.unresolved
        ) + "\n")  # fmt: skip
    parts.append("A record for a qualified adviser, not advice.\n")
    return "\n".join(parts)


def _made_with() -> str:
    lines = [f"splitpin {__version__}", f"Python {platform.python_version()} on {platform.platform()}"]
    for name in LIBRARIES:
        try:
            lines.append(f"{name} {version(name)}")
        except PackageNotFoundError:
            continue
    return "\n".join(lines) + "\n"


def _label(film: Ready) -> str:
    document = film.folder.film
    width, height = document.picture
    return "\n".join(
        [
            document.title,
            "",
            f"Cut-out film, {width} x {height}, {length(film)}",
            f"Running time {label_of(film.frames, document.exact_rate)}",
            f"Archived {date.today().isoformat()} with splitpin {__version__}",
            "",
            "Keep three copies, on two kinds of store, one of them in another place.",
            "Prove each copy once a year: splitpin archive --verify FOLDER",
            "",
        ]
    )


READ_ME = f"""\
This folder keeps a film for good.

{FILM}/            all that the film is made from: plain text, pictures and sounds. {FILM_FILE} comes first.
{SUMS}       a sum for every exposure of the film: first frame, frames, SHA-256 of its 8-bit RGB pixels.
{DELIVERED}/       the film as it was delivered.
{FRAMES}/          every frame as PNG, and the mix, where that was asked for.
rights.txt       whose pictures and sounds are in it, and what is unresolved.
made-with.txt    the programs it was made with.
box-label.txt    what to write on the box.

It is a bag after RFC 8493 (BagIt): manifest-sha256.txt, one folder up, has the SHA-256 sum of every file,
and any tool that computes SHA-256 can check it. To work on the film, copy {FILM}/ to another place. A
timeline finds its pictures and sounds when {DELIVERED}/ lies in that copy under the name {MADE}/.
"""


def _left(outlets: Sequence[str]) -> str:
    if not outlets:
        return ""
    names = ", ".join(outlets)
    return f"\nNot kept, since they are made again from {FILM}/: the pictures of {names}.\n"
