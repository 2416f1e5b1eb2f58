"""The sums of a film's frames: two films are the same when these are."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from hashlib import sha256
from pathlib import Path

from splitpin.film.segments import Segment
from splitpin.jobs.ready import ready
from splitpin.jobs.shop import Progress, Shop
from splitpin.jobs.workers import cores, run_all


def frame_sums(root: Path, progress: Progress | None = None, workers: int | None = None) -> list[str]:
    """The SHA-256 sum of each exposure of a film, drawn anew, each with its frames.

    Parameters
    ----------
    root
        The film folder; nothing is written to it.
    progress
        Told how many frames are done.
    workers
        How many segments are drawn at a time; one for each core when left out.

    Returns
    -------
    list of str
        ``FIRST FRAMES SUM``: the first frame, counted from 1, for how many it is held, and the sum of its
        pixels, 8-bit sRGB, row by row.

    Raises
    ------
    RefusedError
        While the folder has mistakes.
    """
    shop = Shop(ready(root), progress)
    segments = shop.ready.segments
    found: list[list[str]] = [[] for _ in segments]
    firsts = [1]
    for n, segment in enumerate(segments):
        shop.wanted(str(n), segment, False)
        firsts.append(firsts[-1] + segment.frames)
    shop.begin()
    tasks: list[Callable[[], None]] = [
        partial(_sums, shop, segment, first, into)
        for segment, first, into in zip(segments, firsts, found, strict=False)
    ]
    run_all(tasks, workers or cores(), shop.stop)
    return [line for part in found for line in part]


def _sums(shop: Shop, segment: Segment, first: int, into: list[str]) -> None:
    digest = ""
    for held in shop.rolled(segment):
        if held.changed or not digest:
            digest = sha256(held.rgb.tobytes()).hexdigest()
        into.append(f"{first} {held.frames} {digest}")
        first += held.frames
