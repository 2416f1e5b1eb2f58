"""The mix at its level without loss, as a WAV file that is kept."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from splitpin.device.soundfile_writer import write_wav
from splitpin.jobs.shop import Shop, gone
from splitpin.jobs.sounding import Sounding
from splitpin.sound.level import Heard, as_mixed, level


class KeptMix(NamedTuple):
    """Where a mix is kept, and what must be done for it first."""

    key: str
    task: Callable[[], None] | None
    """Makes it; None when it is there."""


def keep_mix(
    shop: Shop,
    sound: Sounding,
    lufs: float | None,
    peak: float,
    heard: Heard | None = None,
    how: str = "",
) -> KeptMix:
    """Plan a mix.

    Parameters
    ----------
    shop, sound
        Where it is kept, and what is heard.
    lufs, peak
        Its loudness, LUFS, left as mixed when None; and the true peak that nothing goes over, dBTP.
    heard
        What is heard in place of the film's own sound: that sound, conformed.
    how
        What ``heard`` depends on besides the film's sound.
    """
    key = sound.key(f"wav {lufs} {peak} {how}".strip())
    if shop.store.wave(key).is_file() and shop.store.note(key) is not None:
        return KeptMix(key, None)
    return KeptMix(key, partial(_mix, shop, sound, lufs, peak, heard or sound.mix, key))


def kept_mix(shop: Shop, key: str) -> tuple[Path, dict[str, Any]]:
    """A mix that the task has made: its file; and its loudness, its range, its true peak, and a report.

    Raises
    ------
    FolderError
        When it is gone.
    """
    note, wave = shop.store.note(key), shop.store.wave(key)
    if note is None or not wave.is_file():
        raise gone(key)
    return wave, note


def _mix(shop: Shop, sound: Sounding, lufs: float | None, peak: float, heard: Heard, key: str) -> None:
    levelled = as_mixed(heard, peak) if lufs is None else level(heard, lufs, peak)
    write_wav(shop.store.wave(key), levelled.blocks(heard))
    shop.store.keep_note(
        key,
        {
            "loudness": levelled.loudness,
            "true_peak": levelled.true_peak,
            "range": levelled.range,
            "report": "" if sound.empty else levelled.report,
        },
    )
