"""The outlet ``master``: a MOV for cinemas and broadcasters."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from splitpin.device.coded import Coded, CodedPacket
from splitpin.device.conformed import SIGNATURE, Conformed
from splitpin.device.master_join import join_master, wave_blocks
from splitpin.device.master_picture import FrameCoder, MasterTrack
from splitpin.film.conform import Conform, conform
from splitpin.film.outlet import MasterOutlet
from splitpin.film.segments import Segment
from splitpin.frames.deep import DeepPlanes
from splitpin.jobs.outlets.mix import KeptMix, keep_mix, kept_mix
from splitpin.jobs.shop import MadeOutlet, Order, Shop
from splitpin.jobs.sounding import Sounding


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
    segments = [(shop.key(segment, track.signature), segment) for segment in shop.ready.segments]
    tasks: list[Callable[[], None]] = [
        partial(_code, shop, track, key, segment)
        for key, segment in segments
        if shop.wanted(key, segment, shop.store.coded(key) is not None)
    ]
    mix = _mix(shop, outlet, sound, shown)
    if mix.task is not None:
        tasks.insert(0, mix.task)
    finish = partial(_finish, shop, name, outlet, track, shown, [key for key, _ in segments], mix.key, path)
    return Order(shop.uses(name, segments, mix.key), tuple(tasks), finish)


def _mix(shop: Shop, outlet: MasterOutlet, sound: Sounding, shown: Conform) -> KeptMix:
    if shown.speed == 1:
        return keep_mix(shop, sound, outlet.lufs, outlet.peak)
    length = shown.samples(shop.ready.frames)
    heard = Conformed(sound.mix, shown.speed, length, outlet.pitch)
    how = f"{SIGNATURE} {shown.speed} {length} {outlet.pitch}"
    return keep_mix(shop, sound, outlet.lufs, outlet.peak, heard, how)


def _code(shop: Shop, track: MasterTrack, key: str, segment: Segment) -> None:
    coder, planes = FrameCoder(track), DeepPlanes(track.width, track.height)
    packets: list[CodedPacket] = []
    at = 0
    for held in shop.rolled(segment):
        # Every frame stands by itself: what is held on is coded once and written as often as it is shown.
        if held.changed or not packets:
            planes.update(held.rgb, held.changed if packets else None)
            data = coder.code(planes.luma, planes.blue, planes.red)
        else:
            data = packets[-1].data
        packets.append(CodedPacket(at, held.frames, True, data))
        at += held.frames
    shop.store.keep(key, Coded(b"", packets))


def _finish(
    shop: Shop,
    name: str,
    outlet: MasterOutlet,
    track: MasterTrack,
    shown: Conform,
    keys: list[str],
    mix: str,
    path: Path,
) -> MadeOutlet:
    wave, note = kept_mix(shop, mix)
    pictures = (shop.coded(key) for key in keys)
    frames = join_master(
        path, track, pictures, wave_blocks(wave), outlet.timecode, {"title": shop.film.title}
    )
    told = shown.told(frames)
    if told and not note["report"].startswith("nothing"):
        told += f"; its pitch is {_PITCH[outlet.pitch, shown.speed > 1]}"
    return MadeOutlet(
        name, (path,), note["loudness"], note["true_peak"], note["report"], told, range=note.get("range")
    )


_PITCH = {
    ("raised", True): "raised with it",
    ("raised", False): "lowered with it",
    ("kept", True): "kept",
    ("kept", False): "kept",
}
