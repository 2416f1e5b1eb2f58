"""The outlet ``master``: a MOV for cinemas and broadcasters."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from itertools import chain
from pathlib import Path

from splitpin.device.coded import Coded, CodedPacket
from splitpin.device.conformed import SIGNATURE, Conformed
from splitpin.device.master_join import join_master, wave_blocks
from splitpin.device.master_picture import FrameCoder, MasterTrack
from splitpin.film.burn import Burnt, burnt_in
from splitpin.film.captions import Caption
from splitpin.film.conform import Conform, conform
from splitpin.film.opening import opening, slate_lines
from splitpin.film.outlet import MasterOutlet
from splitpin.film.roll import Held
from splitpin.film.segments import Segment
from splitpin.frames.deep import DeepPlanes
from splitpin.jobs.outlets.captions import burnt_over, captions_at, later, signature_of, write_beside
from splitpin.jobs.outlets.mix import KeptMix, keep_mix, kept_mix
from splitpin.jobs.outlets.opening import Ahead
from splitpin.jobs.shop import MadeOutlet, Order, Shop
from splitpin.jobs.sounding import Sounding
from splitpin.measure.timecode import before


def order_master(shop: Shop, name: str, outlet: MasterOutlet, sound: Sounding, path: Path) -> Order:
    """Plan a master: what of it is kept, and what must be made.

    Raises
    ------
    ConformError
        When it is to be shown at a rate too far from the film's own.
    """
    film, stage = shop.film, shop.stage
    shown = conform(film.exact_rate, outlet.shown_at(film.exact_rate))
    track = MasterTrack(stage.width, stage.height, shown.shown)
    captions = captions_at(shop, shown.shown) if outlet.captions else ()
    burning = captions if "burnt" in outlet.captions else ()
    burnt = {segment.first: burnt_in(segment, burning) for segment in shop.ready.segments}
    segments = [
        (shop.key(segment, track.signature + signature_of(burnt[segment.first])), segment)
        for segment in shop.ready.segments
    ]
    tasks: list[Callable[[], None]] = [
        partial(_code, shop, track, key, segment, burnt[segment.first])
        for key, segment in segments
        if shop.wanted(key, segment, shop.store.coded(key) is not None)
    ]
    mix = _mix(shop, outlet, sound, shown)
    if mix.task is not None:
        tasks.insert(0, mix.task)
    ahead = _ahead(shop, outlet, shown)
    opens, more = ahead.order(shop, track.signature, partial(_coded, track))
    tasks += more
    keys = [*opens, *(key for key, _ in segments)]
    finish = partial(_finish, shop, name, outlet, track, shown, ahead, keys, mix.key, captions, path)
    return Order(shop.uses(name, segments, mix.key, *opens), tuple(tasks), finish)


def _ahead(shop: Shop, outlet: MasterOutlet, shown: Conform) -> Ahead:
    film = shop.film
    opens = opening(outlet.opens, shown.shown)
    loud = "as mixed" if outlet.lufs is None else f"{outlet.lufs:.1f} LUFS".replace("-", "−")
    lines = slate_lines(
        shop.ready.frames,
        shown.shown,
        film.picture,
        f"stereo, 48 kHz, 24 bits, {loud}",
        opens.tone,
        outlet.timecode,
        outlet.date,
        outlet.revision,
    )
    return Ahead(opens, film.title, lines)


def _mix(shop: Shop, outlet: MasterOutlet, sound: Sounding, shown: Conform) -> KeptMix:
    if shown.speed == 1:
        return keep_mix(shop, sound, outlet.lufs, outlet.peak)
    length = shown.samples(shop.ready.frames)
    heard = Conformed(sound.mix, shown.speed, length, outlet.pitch)
    how = f"{SIGNATURE} {shown.speed} {length} {outlet.pitch}"
    return keep_mix(shop, sound, outlet.lufs, outlet.peak, heard, how)


def _code(shop: Shop, track: MasterTrack, key: str, segment: Segment, burnt: Burnt) -> None:
    shop.store.keep(key, _coded(track, burnt_over(shop, shop.rolled(segment), burnt)))


def _coded(track: MasterTrack, shown: Iterable[Held]) -> Coded:
    coder, planes = FrameCoder(track), DeepPlanes(track.width, track.height)
    packets: list[CodedPacket] = []
    at = 0
    for held in shown:
        # Every frame stands by itself: what is held on is coded once and written as often as it is shown.
        if held.changed or not packets:
            planes.update(held.rgb, held.changed if packets else None)
            data = coder.code(planes.luma, planes.blue, planes.red)
        else:
            data = packets[-1].data
        packets.append(CodedPacket(at, held.frames, True, data))
        at += held.frames
    return Coded(b"", packets)


def _finish(
    shop: Shop,
    name: str,
    outlet: MasterOutlet,
    track: MasterTrack,
    shown: Conform,
    ahead: Ahead,
    keys: list[str],
    mix: str,
    captions: tuple[Caption, ...],
    path: Path,
) -> MadeOutlet:
    wave, note = kept_mix(shop, mix)
    pictures = (shop.coded(key) for key in keys)
    sound = chain(ahead.sound(), wave_blocks(wave))
    first = before(outlet.timecode, ahead.opening.frames, shown.shown)
    join_master(path, track, pictures, sound, first, {"title": shop.film.title})
    spoken = later(captions, ahead.opening.frames)
    beside = write_beside(path, spoken, shown.shown, wanted="beside" in outlet.captions)
    told = shown.told(shop.ready.frames)
    if told and not note["report"].startswith("nothing"):
        told += f"; its pitch is {_PITCH[outlet.pitch, shown.speed > 1]}"
    if ahead.opening.parts:
        frames = shop.ready.frames
        told = told or f"{frames} frames, {float(frames / shown.shown):.2f} s"
        told += f"; {ahead.opening.told}, so that it begins at {first} and the film at {outlet.timecode}"
    return MadeOutlet(
        name,
        (path, *beside),
        note["loudness"],
        note["true_peak"],
        note["report"],
        told,
        range=note.get("range"),
    )


_PITCH = {
    ("raised", True): "raised with it",
    ("raised", False): "lowered with it",
    ("kept", True): "kept",
    ("kept", False): "kept",
}
