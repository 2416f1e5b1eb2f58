"""Bring the mix to its loudness under its ceiling, as it is heard after coding."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import inf, isfinite
from typing import Generic, NamedTuple, TypeVar

from splitpin.sound.level import WITHIN, Heard, Levelled, level, too_peaky
from splitpin.sound.loudness import measured
from splitpin.sound.source import Sound

HEADROOM = 0.3
"""Decibels kept free for what coding adds to the peaks, at the first try."""
TRIES = 5
CLOSE = 0.1
"""LU by which the coded track may miss its target before it is tried again."""

Form = TypeVar("Form")


class Master(NamedTuple, Generic[Form]):
    """The finished track, and what it measures when it is decoded."""

    sound: Form
    loudness: float
    """Integrated loudness, LUFS; minus infinity when there is nothing to hear."""
    true_peak: float
    """dBTP."""
    report: str
    """What a person should know; empty when all is well."""
    range: float = 0.0
    """Loudness range, LU."""


def master(
    mix: Heard,
    lufs: float,
    peak: float,
    code: Callable[[Iterable[Sound]], Form],
    decode: Callable[[Form], Iterable[Sound]],
) -> Master[Form]:
    """Level, limit and code a mix until the coded track keeps to its numbers.

    Coding with loss moves the peaks, often upward, and the loudness a little: what it did is measured on the
    decoded track and allowed for at the next try.

    Parameters
    ----------
    mix
        What is heard.
    lufs
        Integrated loudness to come to, LUFS (ITU-R BS.1770).
    peak
        True peak not to go over, dBTP.
    code, decode
        To the form in which the track is delivered, and back. Each coding may take the place of the one
        before; the one that is returned comes last.
    """
    target, ceiling, before = lufs, peak - HEADROOM, inf
    levelled = chosen = level(mix, target, ceiling)
    tried = best = _tried(levelled, mix, lufs, peak, code, decode)
    for _ in range(TRIES):
        over, off = tried.true_peak - peak, tried.loudness - lufs
        stuck = abs(tried.loudness - before) < CLOSE / 10
        if not isfinite(off) or (over <= 0 and (abs(off) <= CLOSE or stuck)):
            break
        ceiling -= over + HEADROOM / 2 if over > 0 else 0.0
        target, before = target - off, tried.loudness
        levelled = level(mix, target, ceiling)
        tried = _tried(levelled, mix, lufs, peak, code, decode)
        if _worse(tried, lufs, peak) < _worse(best, lufs, peak):
            best, chosen = tried, levelled
    return best if best is tried else best._replace(sound=code(chosen.blocks(mix)))


def _tried(
    levelled: Levelled,
    mix: Heard,
    lufs: float,
    peak: float,
    code: Callable[[Iterable[Sound]], Form],
    decode: Callable[[Form], Iterable[Sound]],
) -> Master[Form]:
    sound = code(levelled.blocks(mix))
    heard = measured(decode(sound))
    report = "" if abs(heard.integrated - lufs) <= WITHIN else levelled.report
    if report and isfinite(heard.integrated):
        # what is said is what the finished track measures
        report = too_peaky(heard.integrated, lufs)
    if heard.true_peak > peak:
        report = f"its true peak comes to {heard.true_peak:.1f} dBTP instead of {peak:.1f}; turn it down"
    return Master(sound, heard.integrated, heard.true_peak, report, heard.range)


def _worse(done: Master[Form], lufs: float, peak: float) -> float:
    # A peak over the ceiling is worse than any loudness.
    return 1000.0 * max(0.0, done.true_peak - peak) + abs(done.loudness - lufs)
