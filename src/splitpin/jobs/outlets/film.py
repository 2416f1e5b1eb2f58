"""The outlet ``film``: an MP4 with sound."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from splitpin.device.coded import Coded
from splitpin.device.film_join import JoinError, join_film
from splitpin.device.film_picture import PictureTrack, SegmentCoder
from splitpin.device.film_sound import SIGNATURE, code_sound, decode_sound
from splitpin.film.master import master
from splitpin.film.outlet import FilmOutlet
from splitpin.film.segments import Segment
from splitpin.folder.mistake import FolderError
from splitpin.frames.yuv import Planes
from splitpin.jobs.shop import MadeOutlet, Order, Shop
from splitpin.jobs.sounding import Sounding


def order_film(shop: Shop, name: str, outlet: FilmOutlet, sound: Sounding, path: Path) -> Order:
    """Plan a film: what of it is kept, and what must be made."""
    stage = shop.stage
    track = PictureTrack(stage.width, stage.height, shop.film.exact_rate, outlet.quality, outlet.effort)
    segments = [(shop.key(segment, track.signature), segment) for segment in shop.ready.segments]
    tasks = [
        partial(_code, shop, track, key, segment)
        for key, segment in segments
        if shop.wanted(key, segment, shop.store.coded(key) is not None)
    ]
    sound_key = sound.key(f"{SIGNATURE} {outlet.lufs} {outlet.peak}")
    if shop.store.coded(sound_key) is None or shop.store.note(sound_key) is None:
        tasks.insert(0, partial(_master, shop, outlet, sound, sound_key))
    finish = partial(_finish, shop, name, track, [key for key, _ in segments], sound_key, path)
    return Order(shop.uses(name, segments, sound_key), tuple(tasks), finish)


def _code(shop: Shop, track: PictureTrack, key: str, segment: Segment) -> None:
    coder = SegmentCoder(track)
    planes = Planes(shop.stage.width, shop.stage.height)
    planes.luma, planes.blue, planes.red = coder.luma, coder.blue, coder.red
    for held in shop.rolled(segment):
        planes.update(held.rgb, held.changed)
        coder.hold(held.frames)
    shop.store.keep(key, coder.finish())


def _master(shop: Shop, outlet: FilmOutlet, sound: Sounding, key: str) -> None:
    def code(blocks: Iterable[NDArray[np.float32]]) -> Coded:
        shop.stop.here()
        shop.store.keep(key, code_sound(blocks))
        return _there(shop, key)

    done = master(sound.mix, outlet.lufs, outlet.peak, code, decode_sound)
    shop.store.keep_note(
        key,
        {
            "loudness": done.loudness,
            "true_peak": done.true_peak,
            "report": "" if sound.empty else done.report,
        },
    )


def _finish(
    shop: Shop, name: str, track: PictureTrack, keys: list[str], sound_key: str, path: Path
) -> MadeOutlet:
    sound, note = _there(shop, sound_key), shop.store.note(sound_key)
    if note is None:
        raise gone(sound_key)
    try:
        join_film(path, track, (_there(shop, key) for key in keys), sound, {"title": shop.film.title})
    except JoinError as problem:
        for key in set(keys):
            kept = shop.store.coded(key)
            if kept is not None and kept.header != problem.header:
                shop.store.drop(key)
        raise
    return MadeOutlet(name, (path,), note["loudness"], note["true_peak"], note["report"])


def _there(shop: Shop, key: str) -> Coded:
    coded = shop.store.coded(key)
    if coded is None:
        raise gone(key)
    return coded


def gone(key: str) -> FolderError:
    """Something that was made a moment ago is not there any more."""
    return FolderError(
        f"made/segments/{key}", "gone while the film was made", "to stay", "make the film again"
    )
