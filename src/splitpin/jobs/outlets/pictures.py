"""The outlet ``pictures``: numbered PNG files, one a frame, and the mix as WAV."""

from __future__ import annotations

import shutil
from functools import partial
from pathlib import Path

from splitpin.device.beside import folder_beside
from splitpin.device.pictures import encode_png
from splitpin.device.soundfile_writer import write_wav
from splitpin.film.outlet import PicturesOutlet
from splitpin.film.segments import Segment
from splitpin.jobs.outlets.film import gone
from splitpin.jobs.shop import MadeOutlet, Order, Shop
from splitpin.jobs.sounding import Sounding
from splitpin.sound.level import level

CODING = "png 1"
MIX = "mix.wav"


def order_pictures(shop: Shop, name: str, outlet: PicturesOutlet, sound: Sounding, path: Path) -> Order:
    """Plan a sequence of pictures: what of it is kept, and what must be made."""
    segments = [(shop.key(segment, CODING), segment) for segment in shop.ready.segments]
    tasks = [
        partial(_draw, shop, key, segment)
        for key, segment in segments
        if shop.wanted(key, segment, shop.store.pictures(key).is_dir())
    ]
    sound_key = sound.key(f"wav {outlet.lufs} {outlet.peak}")
    if not shop.store.wave(sound_key).is_file() or shop.store.note(sound_key) is None:
        tasks.insert(0, partial(_mix, shop, outlet, sound, sound_key))
    finish = partial(_finish, shop, name, segments, sound_key, path)
    return Order(shop.uses(name, segments, sound_key), tuple(tasks), finish)


def _draw(shop: Shop, key: str, segment: Segment) -> None:
    with shop.store.keep_pictures(key) as folder:
        before: Path | None = None
        for i, held in enumerate(shop.rolled(segment)):
            file = folder / _exposure(i)
            if before is not None and not held.changed:
                _same_file(before, file)
            else:
                file.write_bytes(encode_png(held.rgb))
            before = file


def _mix(shop: Shop, outlet: PicturesOutlet, sound: Sounding, key: str) -> None:
    levelled = level(sound.mix, outlet.lufs, outlet.peak)
    write_wav(shop.store.wave(key), levelled.blocks(sound.mix))
    shop.store.keep_note(
        key,
        {
            "loudness": levelled.loudness,
            "true_peak": levelled.true_peak,
            "report": "" if sound.empty else levelled.report,
        },
    )


def _finish(
    shop: Shop, name: str, segments: list[tuple[str, Segment]], sound_key: str, path: Path
) -> MadeOutlet:
    note, wave = shop.store.note(sound_key), shop.store.wave(sound_key)
    if note is None or not wave.is_file():
        raise gone(sound_key)
    with folder_beside(path) as folder:
        number = 0
        for key, segment in segments:
            kept = shop.store.pictures(key)
            if not kept.is_dir():
                raise gone(key)
            for i, exposure in enumerate(segment.exposures):
                for _ in range(exposure.row.frames):
                    number += 1
                    # A copy, which a person may draw on: what is kept must stay what it was.
                    shutil.copyfile(kept / _exposure(i), folder / f"{number:06d}.png")
        shutil.copyfile(wave, folder / MIX)
    return MadeOutlet(name, (path, path / MIX), note["loudness"], note["true_peak"], note["report"])


def _exposure(i: int) -> str:
    return f"{i:04d}.png"


def _same_file(old: Path, new: Path) -> None:
    # A picture held on is one file with several names, where the disk can do that.
    try:
        new.hardlink_to(old)
    except (OSError, NotImplementedError):
        shutil.copyfile(old, new)
