"""The outlet ``loop``: a GIF or WebP that goes round for ever, under a size asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from hashlib import blake2b
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from splitpin.device.coded import Coded, CodedPacket
from splitpin.device.loop_writer import SIGNATURE, frame_of, gif, smaller, webp, written
from splitpin.film.loop import WIDTHS, Pick, Step, picks, search
from splitpin.film.outlet import LoopOutlet
from splitpin.film.segments import Segment
from splitpin.folder.mistake import FolderError
from splitpin.folder.save import write_whole
from splitpin.jobs.outlets.drawn import CODING, draw_pictures, picture_name
from splitpin.jobs.shop import MadeOutlet, Order, Shop, gone
from splitpin.measure.rate import nearest_frame

MEGA = 1_000_000
STEPS = {
    "gif": (Step(None, 255), Step(12, 128), Step(10, 64), Step(8, 32)),
    "webp": (Step(None, 80), Step(12, 70), Step(10, 50), Step(8, 30)),
}
"""What is given up for a smaller file, one after the other. [T]"""
PARTS = {"gif": 100, "webp": 1000}
LEAST = {"gif": 2, "webp": 20}
"""The shortest delay: browsers show what is shorter for a tenth of a second (common practice)."""


ROOM = 300_000_000
"""Bytes of pictures that are remembered while a width is looked for; what is over is read again."""


def order_loop(shop: Shop, name: str, outlet: LoopOutlet, path: Path) -> Order:
    """Plan a loop: its pictures are drawn beforehand, its width is looked for at the end.

    Raises
    ------
    FolderError
        When its span is not in the scenes asked for.
    """
    start, end = _span(shop, name, outlet)
    segments = [
        (shop.key(one, CODING), one)
        for one in shop.ready.segments
        if one.first < end and start < one.first + one.frames
    ]
    tasks: list[Callable[[], None]] = [
        partial(draw_pictures, shop, key, segment)
        for key, segment in segments
        if shop.wanted(key, segment, shop.store.pictures(key).is_dir())
    ]
    first = segments[0][1].first
    told = ([key for key, _ in segments], start - first, end - start, str(shop.film.exact_rate))
    asked = (outlet.form, outlet.most_mb, outlet.width)
    key = blake2b(repr((SIGNATURE, STEPS, told, asked)).encode(), digest_size=20).hexdigest()
    finish = partial(_finish, shop, name, outlet, segments, (start, end), key, path)
    return Order(shop.uses(name, segments, key), tuple(tasks), finish)


def _span(shop: Shop, name: str, outlet: LoopOutlet) -> tuple[int, int]:
    """Its first frame among the scenes asked for, and the first after it."""
    start, end, rate = 0, shop.ready.frames, shop.film.exact_rate
    if outlet.scene is not None:
        if outlet.scene not in shop.ready.scenes:
            raise FolderError(
                f"outlet {name}", f"a loop of scene {outlet.scene}, which is not asked for",
                "the scene among those that are made", "leave `--scene` out, or name that scene too",
            )  # fmt: skip
        before = shop.ready.scenes[: shop.ready.scenes.index(outlet.scene)]
        lengths = {sheet.scene: sheet.frames for sheet in shop.ready.sheets}
        start = sum(lengths[scene] for scene in before)
        end = start + lengths[outlet.scene]
    first = start + nearest_frame(outlet.start, rate)
    if first >= end:
        raise FolderError(
            f"outlet {name}", f"a loop that starts after {outlet.start:g} s",
            f"a start before {float((end - start) / rate):g} s, where it ends", "let it `start` earlier",
        )  # fmt: skip
    if outlet.seconds is not None:
        end = min(end, first + max(1, nearest_frame(outlet.seconds, rate)))
    return first, end


def _finish(
    shop: Shop,
    name: str,
    outlet: LoopOutlet,
    segments: list[tuple[str, Segment]],
    span: tuple[int, int],
    key: str,
    path: Path,
) -> MadeOutlet:
    kept, note = shop.store.coded(key), shop.store.note(key)
    if kept is None or note is None:
        for name_, _ in segments:
            if not shop.store.pictures(name_).is_dir():
                raise gone(name_)
        data, note = _found(shop, outlet, segments, span)
        shop.store.keep(key, Coded(b"", [CodedPacket(0, span[1] - span[0], True, data)]))
        shop.store.keep_note(key, note)
    else:
        [packet] = kept.packets
        data = packet.data
    write_whole(path, data)
    return MadeOutlet(name, (path,), None, None, note["report"], note["told"])


def _found(
    shop: Shop, outlet: LoopOutlet, segments: list[tuple[str, Segment]], span: tuple[int, int]
) -> tuple[bytes, dict[str, str]]:
    steps, rate, stage = STEPS[outlet.form], shop.film.exact_rate, shop.stage
    only = [segment for _, segment in segments]
    plans = [picks(only, *span, rate, step.rate, PARTS[outlet.form], LEAST[outlet.form]) for step in steps]

    widest = min(outlet.width, stage.width)
    known: dict[tuple[int, int], NDArray[np.uint8]] = {}
    most = ROOM * stage.width // (3 * widest * widest * stage.height)

    def picture(pick: Pick) -> NDArray[np.uint8]:
        place = (pick.segment, pick.exposure)
        if place in known:
            return known[place]
        file = shop.store.pictures(segments[pick.segment][0]) / picture_name(pick.exposure)
        rgb = smaller(frame_of(file), widest)
        if len(known) < most:
            known[place] = rgb
        return rgb

    def pictures(plan: tuple[Pick, ...], width: int) -> Iterator[NDArray[np.uint8]]:
        for pick in plan:
            shop.stop.here()
            yield smaller(picture(pick), width)

    def made(width: int, step: int) -> bytes:
        plan = plans[step]
        delays = [pick.delay for pick in plan]
        write = gif if outlet.form == "gif" else webp
        return write(partial(pictures, plan, width), delays, steps[step].finish)

    widths = [widest, *(width for width in WIDTHS if width < widest)]
    chosen = search(widths, len(steps), int(outlet.most_mb * MEGA), made)
    step, seen = steps[chosen.step], written(chosen.data)
    seconds = float((span[1] - span[0]) / rate)
    finish = f"{step.finish} colours" if outlet.form == "gif" else f"quality {step.finish}"
    size = len(chosen.data) / MEGA
    shown = f"{seen.pictures} picture{'s' if seen.pictures != 1 else ''}"
    told = f"{seen.width} × {seen.height}, {seconds:.2f} s, {shown}, {finish}, {size:.2f} MB"
    report = ""
    if not chosen.fits:
        report = (
            f"the smallest loop is {size:.2f} MB, {outlet.most_mb:g} were asked for; "
            "let it be shorter with `seconds`, or allow more"
        )
    return chosen.data, {"told": told, "report": report}
