"""The outlet ``pictures``: numbered PNG or TIFF files, one a frame, and the mix as WAV."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from functools import partial
from pathlib import Path

from splitpin.device.beside import folder_beside
from splitpin.film.outlet import PicturesOutlet
from splitpin.film.segments import Segment
from splitpin.jobs.outlets.drawn import CODINGS, PictureForm, draw_pictures, picture_name
from splitpin.jobs.outlets.mix import keep_mix, kept_mix
from splitpin.jobs.shop import MadeOutlet, Order, Shop, gone
from splitpin.jobs.sounding import Sounding

MIX = "mix.wav"


def order_pictures(shop: Shop, name: str, outlet: PicturesOutlet, sound: Sounding, path: Path) -> Order:
    """Plan a sequence of pictures: what of it is kept, and what must be made."""
    segments = [(shop.key(segment, CODINGS[outlet.form]), segment) for segment in shop.ready.segments]
    tasks: list[Callable[[], None]] = [
        partial(draw_pictures, shop, key, segment, outlet.form)
        for key, segment in segments
        if shop.wanted(key, segment, shop.store.pictures(key).is_dir())
    ]
    mix = keep_mix(shop, sound, outlet.lufs, outlet.peak)
    if mix.task is not None:
        tasks.insert(0, mix.task)
    finish = partial(_finish, shop, name, segments, outlet.form, mix.key, path)
    return Order(shop.uses(name, segments, mix.key), tuple(tasks), finish)


def _finish(
    shop: Shop,
    name: str,
    segments: list[tuple[str, Segment]],
    form: PictureForm,
    sound_key: str,
    path: Path,
) -> MadeOutlet:
    wave, note = kept_mix(shop, sound_key)
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
                    shutil.copyfile(kept / picture_name(i, form), folder / f"{number:06d}.{form}")
        shutil.copyfile(wave, folder / MIX)
    return MadeOutlet(
        name, (path, path / MIX), note["loudness"], note["true_peak"], note["report"], range=note.get("range")
    )
