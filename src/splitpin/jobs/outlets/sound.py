"""The outlet ``sound``: the mix by itself, perhaps with its stems, and a drawing of its loudness."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial
from itertools import accumulate
from math import inf
from pathlib import Path
from typing import Any

import numpy as np

from splitpin.device.beside import folder_beside
from splitpin.device.soundfile_reader import read_blocks
from splitpin.device.soundfile_writer import write_sound
from splitpin.film.loudness_plot import Curves, loudness_svg
from splitpin.film.outlet import SoundOutlet
from splitpin.folder.save import write_whole
from splitpin.jobs.shop import MadeOutlet, Order, Shop, gone
from splitpin.jobs.sounding import Sounding
from splitpin.measure.rate import seconds_of
from splitpin.sound.level import as_mixed, level
from splitpin.sound.loudness import Meter
from splitpin.sound.mix import Kind
from splitpin.sound.source import Sound, amplitude

STEMS: dict[Kind, str] = {"voice": "voice", "effect": "effects", "music": "music"}
"""What the stem of each kind of sound is called."""
PLOT = "loudness"


def order_sound(shop: Shop, name: str, outlet: SoundOutlet, sound: Sounding, path: Path) -> Order:
    """Plan the sound: what of it is kept, and what must be made."""
    key = sound.key(f"sound 1 {outlet.lufs} {outlet.peak}{' stems' if outlet.stems else ''}")
    keys = [key, *(f"{key}-{stem}" for stem in STEMS.values() if outlet.stems)]
    there = shop.store.note(key) is not None and all(shop.store.wave(k).is_file() for k in keys)
    tasks = () if there else (partial(_mix, shop, outlet, sound, key),)
    finish = partial(_finish, shop, name, outlet, key, path)
    return Order(shop.uses(name, [], *keys), tasks, finish)


def _mix(shop: Shop, outlet: SoundOutlet, sound: Sounding, key: str) -> None:
    mix = sound.mix
    levelled = as_mixed(mix, outlet.peak) if outlet.lufs is None else level(mix, outlet.lufs, outlet.peak)
    meter = Meter()
    write_sound(shop.store.wave(key), _listened(levelled.blocks(mix), meter, shop))
    if outlet.stems:
        for kind, stem in STEMS.items():
            louder = _louder(mix.stem(kind).blocks(), levelled.gain, shop)
            # Before the limiter a stem may go over full scale, which whole numbers cannot hold.
            write_sound(shop.store.wave(f"{key}-{stem}"), louder, "FLOAT")
    note = {
        "loudness": meter.integrated,
        "true_peak": meter.true_peak,
        "range": meter.range,
        "report": "" if sound.empty else levelled.report,
        "momentary": _tenths(meter.momentary),
        "short_term": _tenths(meter.short_term),
    }
    shop.store.keep_note(key, note)


def _listened(blocks: Iterable[Sound], meter: Meter, shop: Shop) -> Iterator[Sound]:
    for block in blocks:
        shop.stop.here()
        meter.push(block)
        yield block


def _louder(blocks: Iterable[Sound], gain: float, shop: Shop) -> Iterator[Sound]:
    for block in blocks:
        shop.stop.here()
        yield (block * amplitude(gain)).astype(np.float32)


def _tenths(values: Iterable[float]) -> list[float | None]:
    # JSON knows no infinity.
    return [round(float(value), 1) if value > -inf else None for value in values]


def _finish(shop: Shop, name: str, outlet: SoundOutlet, key: str, path: Path) -> MadeOutlet:
    note, wave = shop.store.note(key), shop.store.wave(key)
    if note is None or not wave.is_file():
        raise gone(key)
    drawn = _drawn(shop, note).encode()
    if outlet.stems:
        with folder_beside(path) as folder:
            _copy(wave, folder / f"mix.{outlet.form}")
            for stem in STEMS.values():
                _copy(shop.store.wave(f"{key}-{stem}"), folder / f"{stem}.wav", "FLOAT")
            (folder / f"{PLOT}.svg").write_bytes(drawn)
        files = (path, *(path / file.name for file in sorted(path.iterdir())))
    else:
        _copy(wave, path)
        plot = path.with_name(f"{path.stem}-{PLOT}.svg")
        write_whole(plot, drawn)
        files = (path, plot)
    told = f"{float(seconds_of(shop.ready.frames, shop.film.exact_rate)):.2f} s"
    return MadeOutlet(name, files, note["loudness"], note["true_peak"], note["report"], told, note["range"])


def _copy(wave: Path, file: Path, depth: str = "PCM_24") -> None:
    if not wave.is_file():
        raise gone(wave.stem)
    write_sound(file, read_blocks(wave), "FLOAT" if depth == "FLOAT" else "PCM_24")


def _drawn(shop: Shop, note: dict[str, Any]) -> str:
    rate = shop.film.exact_rate
    lengths = {sheet.scene: sheet.frames for sheet in shop.ready.sheets}
    starts = accumulate((lengths[scene] for scene in shop.ready.scenes), initial=0)
    scenes = [(s, float(seconds_of(f, rate))) for s, f in zip(shop.ready.scenes, starts, strict=False)]
    curves = Curves(
        [-inf if v is None else v for v in note["momentary"]],
        [-inf if v is None else v for v in note["short_term"]],
        note["loudness"], note["range"], note["true_peak"],
    )  # fmt: skip
    return loudness_svg(shop.film.title, float(seconds_of(shop.ready.frames, rate)), scenes, curves)
