"""The outlet ``film``: an MP4 with sound."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from splitpin.device.coded import Coded
from splitpin.device.film_captions import CaptionTrack
from splitpin.device.film_join import JoinError, join_film
from splitpin.device.film_picture import PictureTrack, SegmentCoder
from splitpin.device.film_sound import SIGNATURE, code_sound, decode_sound
from splitpin.device.stills import card_font
from splitpin.film.burn import BURNING, Burnt, burn, burnt_in
from splitpin.film.caption_text import FORMATS, caption_text
from splitpin.film.master import master
from splitpin.film.outlet import FilmOutlet
from splitpin.film.segments import Segment
from splitpin.folder.save import write_whole
from splitpin.frames.yuv import Planes
from splitpin.jobs.shop import MadeOutlet, Order, Shop, gone
from splitpin.jobs.sounding import Sounding


def order_film(shop: Shop, name: str, outlet: FilmOutlet, sound: Sounding, path: Path) -> Order:
    """Plan a film: what of it is kept, and what must be made."""
    stage = shop.stage
    track = PictureTrack(stage.width, stage.height, shop.film.exact_rate, outlet.quality, outlet.effort)
    captions = shop.captions if "burnt" in outlet.captions else ()
    burnt = {segment.first: burnt_in(segment, captions) for segment in shop.ready.segments}
    segments = [
        (shop.key(segment, track.signature + _signature(burnt[segment.first])), segment)
        for segment in shop.ready.segments
    ]
    tasks = [
        partial(_code, shop, track, key, segment, burnt[segment.first])
        for key, segment in segments
        if shop.wanted(key, segment, shop.store.coded(key) is not None)
    ]
    sound_key = sound.key(f"{SIGNATURE} {outlet.lufs} {outlet.peak}")
    if shop.store.coded(sound_key) is None or shop.store.note(sound_key) is None:
        tasks.insert(0, partial(_master, shop, outlet, sound, sound_key))
    finish = partial(_finish, shop, name, outlet, track, [key for key, _ in segments], sound_key, path)
    return Order(shop.uses(name, segments, sound_key), tuple(tasks), finish)


def _signature(burnt: Burnt) -> str:
    return f" burnt {BURNING} {burnt!r}" if burnt else ""


def _code(shop: Shop, track: PictureTrack, key: str, segment: Segment, burnt: Burnt) -> None:
    coder = SegmentCoder(track)
    planes = Planes(shop.stage.width, shop.stage.height)
    planes.luma, planes.blue, planes.red = coder.luma, coder.blue, coder.red
    shown = shop.rolled(segment)
    for held in burn(shown, burnt, shop.stage, card_font()) if burnt else shown:
        planes.update(held.rgb, held.changed)
        coder.hold(held.frames)
    shop.store.keep(key, coder.finish())


def _master(shop: Shop, outlet: FilmOutlet, sound: Sounding, key: str) -> None:
    def code(blocks: Iterable[NDArray[np.float32]]) -> Coded:
        shop.stop.here()
        shop.store.keep(key, code_sound(blocks))
        return shop.coded(key)

    done = master(sound.mix, outlet.lufs, outlet.peak, code, decode_sound)
    shop.store.keep_note(
        key,
        {
            "loudness": done.loudness,
            "true_peak": done.true_peak,
            "range": done.range,
            "report": "" if sound.empty else done.report,
        },
    )


def _finish(
    shop: Shop,
    name: str,
    outlet: FilmOutlet,
    track: PictureTrack,
    keys: list[str],
    sound_key: str,
    path: Path,
) -> MadeOutlet:
    sound, note = shop.coded(sound_key), shop.store.note(sound_key)
    if note is None:
        raise gone(sound_key)
    inside = shop.captions if "inside" in outlet.captions else ()
    samples = tuple((c.start, c.end, "\n".join(c.lines)) for c in inside)
    captions = CaptionTrack(samples, shop.film.language)
    told = {"title": shop.film.title}
    try:
        join_film(path, track, (shop.coded(key) for key in keys), sound, told, captions)
    except JoinError as problem:
        for key in set(keys):
            kept = shop.store.coded(key)
            if kept is not None and kept.header != problem.header:
                shop.store.drop(key)
        raise
    beside = _beside(shop, outlet, path)
    files = (path, *beside)
    return MadeOutlet(
        name, files, note["loudness"], note["true_peak"], note["report"], range=note.get("range")
    )


def _beside(shop: Shop, outlet: FilmOutlet, path: Path) -> list[Path]:
    """The captions as text beside the film; players find them by their name, so that old ones must go."""
    files = []
    for form in FORMATS:
        file = path.with_suffix(f".{form}")
        if shop.captions and "beside" in outlet.captions:
            write_whole(file, caption_text(shop.captions, shop.film.exact_rate, form).encode())
            files.append(file)
        else:
            file.unlink(missing_ok=True)
    return files
