"""The outlet ``film``: an MP4 with sound."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from itertools import chain
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from splitpin.device.coded import Coded
from splitpin.device.film_captions import CaptionTrack
from splitpin.device.film_join import JoinError, join_film
from splitpin.device.film_picture import PictureTrack, SegmentCoder
from splitpin.device.film_sound import SIGNATURE, code_sound, decode_sound
from splitpin.film.burn import Burnt, burnt_in
from splitpin.film.master import master
from splitpin.film.opening import opening, slate_lines
from splitpin.film.outlet import FilmOutlet
from splitpin.film.roll import Held
from splitpin.film.segments import Segment
from splitpin.frames.yuv import Planes
from splitpin.jobs.outlets.captions import burnt_over, later, signature_of, write_beside
from splitpin.jobs.outlets.opening import Ahead
from splitpin.jobs.shop import MadeOutlet, Order, Shop, gone
from splitpin.jobs.sounding import Sounding
from splitpin.sound.lineup import after


def order_film(shop: Shop, name: str, outlet: FilmOutlet, sound: Sounding, path: Path) -> Order:
    """Plan a film: what of it is kept, and what must be made."""
    stage = shop.stage
    track = PictureTrack(stage.width, stage.height, shop.film.exact_rate, outlet.quality, outlet.effort)
    captions = shop.captioned.captions if "burnt" in outlet.captions else ()
    burnt = {segment.first: burnt_in(segment, captions) for segment in shop.ready.segments}
    segments = [
        (shop.key(segment, track.signature + signature_of(burnt[segment.first])), segment)
        for segment in shop.ready.segments
    ]
    tasks: list[Callable[[], None]] = [
        partial(_code, shop, track, key, segment, burnt[segment.first])
        for key, segment in segments
        if shop.wanted(key, segment, shop.store.coded(key) is not None)
    ]
    ahead = _ahead(shop, outlet)
    opens, more = ahead.order(shop, track.signature, partial(_coded, track))
    tasks += more
    sound_key = sound.key(f"{SIGNATURE} {outlet.lufs} {outlet.peak}{ahead.signature}")
    if shop.store.coded(sound_key) is None or shop.store.note(sound_key) is None:
        tasks.insert(0, partial(_master, shop, outlet, sound, ahead, sound_key))
    keys = [*opens, *(key for key, _ in segments)]
    finish = partial(_finish, shop, name, outlet, track, ahead, keys, sound_key, path)
    return Order(shop.uses(name, segments, sound_key, *opens), tuple(tasks), finish)


def _ahead(shop: Shop, outlet: FilmOutlet) -> Ahead:
    film = shop.film
    opens = opening(outlet.opens, film.exact_rate)
    sound = f"stereo, 48 kHz, AAC, {outlet.lufs:.1f} LUFS".replace("-", "−")
    lines = slate_lines(
        shop.ready.frames, film.exact_rate, film.picture, sound, opens.tone, "", outlet.date, outlet.revision
    )
    return Ahead(opens, film.title, lines)


def _code(shop: Shop, track: PictureTrack, key: str, segment: Segment, burnt: Burnt) -> None:
    shop.store.keep(key, _coded(track, burnt_over(shop, shop.rolled(segment), burnt)))


def _coded(track: PictureTrack, shown: Iterable[Held]) -> Coded:
    coder = SegmentCoder(track)
    planes = Planes(track.width, track.height)
    planes.luma, planes.blue, planes.red = coder.luma, coder.blue, coder.red
    for held in shown:
        planes.update(held.rgb, held.changed)
        coder.hold(held.frames)
    return coder.finish()


def _master(shop: Shop, outlet: FilmOutlet, sound: Sounding, ahead: Ahead, key: str) -> None:
    def code(blocks: Iterable[NDArray[np.float32]]) -> Coded:
        shop.stop.here()
        shop.store.keep(key, code_sound(chain(ahead.sound(), blocks)))
        return shop.coded(key)

    def decode(coded: Coded) -> Iterable[NDArray[np.float32]]:
        # Tones before the film are no part of how loud it is.
        return after(decode_sound(coded), ahead.opening.samples)

    done = master(sound.mix, outlet.lufs, outlet.peak, code, decode)
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
    ahead: Ahead,
    keys: list[str],
    sound_key: str,
    path: Path,
) -> MadeOutlet:
    sound, note = shop.coded(sound_key), shop.store.note(sound_key)
    if note is None:
        raise gone(sound_key)
    late = ahead.opening.frames
    spoken = later(shop.captioned.captions, late)
    inside = spoken if "inside" in outlet.captions else ()
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
    files = (path, *write_beside(path, spoken, track.rate, wanted="beside" in outlet.captions))
    said = f"{shop.ready.frames} frames, {float(shop.ready.frames / track.rate):.2f} s; {ahead.opening.told}"
    return MadeOutlet(
        name,
        files,
        note["loudness"],
        note["true_peak"],
        note["report"],
        said if late else "",
        note.get("range"),
    )
