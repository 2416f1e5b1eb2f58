"""The sound of a film that is shown faster or slower than it was made."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Literal, cast

import av
import av.filter
import numpy as np
import soxr

from splitpin.sound.level import Heard
from splitpin.sound.source import BLOCK, SAMPLING, Sound

_FILTER = ".".join(map(str, av.library_versions["libavfilter"]))
SIGNATURE = f"conformed 1 soxr {soxr.__version__} avfilter {_FILTER}"
"""What it depends on besides the sound."""
EARLY = 512
"""Samples of the whole sound by which stretching lets it come too early on the whole: it joins where waves
fit, up to half a window of 2048 before the due place."""
Pitch = Literal["raised", "kept"]


class Conformed:
    """A sound, quicker or slower.

    Parameters
    ----------
    whole
        The sound of the film at its own rate.
    speed
        How many times as fast it is heard.
    length
        How long it is then, in samples: cut or filled with silence to that.
    pitch
        ``raised`` plays it faster, as a film projector would: everything is as much higher (lower when it is
        slower). ``kept`` leaves out, or repeats, short stretches where they fit, so that voices stay as they
        are and what rings or beats may tremble a little.
    """

    def __init__(self, whole: Heard, speed: Fraction, length: int, pitch: Pitch) -> None:
        self._whole, self._speed, self.length, self._pitch = whole, speed, length, pitch

    def blocks(self, size: int = BLOCK) -> Iterator[Sound]:
        """The sound from its start to its end; blocks are of any lengths."""
        quick = _played if self._pitch == "raised" else _stretched
        left = self.length
        for block in quick(self._whole.blocks(size), self._speed):
            if left and len(block):
                yield block[:left]
            left -= min(left, len(block))
        if left:
            yield np.zeros((left, 2), np.float32)


def _played(blocks: Iterable[Sound], speed: Fraction) -> Iterator[Sound]:
    stream = soxr.ResampleStream(float(SAMPLING * speed), SAMPLING, 2, dtype="float32", quality="VHQ")
    for block in blocks:
        yield stream.resample_chunk(np.ascontiguousarray(block))
    yield stream.resample_chunk(np.zeros((0, 2), np.float32), last=True)


def _stretched(blocks: Iterable[Sound], speed: Fraction) -> Iterator[Sound]:
    graph = av.filter.Graph()
    source = graph.add_abuffer(
        sample_rate=SAMPLING, format="flt", layout="stereo", time_base=Fraction(1, SAMPLING)
    )
    tempo = graph.add("atempo", f"{float(speed):.15f}")
    sink = graph.add("abuffersink")
    source.link_to(tempo)
    tempo.link_to(sink)
    graph.configure()
    yield np.zeros((round(EARLY / speed), 2), np.float32)
    at = 0
    for block in blocks:
        frame = av.AudioFrame.from_ndarray(
            np.ascontiguousarray(block.reshape(1, -1), np.float32), format="flt", layout="stereo"
        )
        frame.sample_rate, frame.pts, frame.time_base = SAMPLING, at, Fraction(1, SAMPLING)
        at += len(block)
        source.push(frame)
        yield from _drawn(graph)
    source.push(None)
    yield from _drawn(graph)


def _drawn(graph: av.filter.Graph) -> Iterator[Sound]:
    while True:
        try:
            frame = graph.pull()
        except (av.error.BlockingIOError, av.error.EOFError):
            return
        yield cast(Sound, cast(av.AudioFrame, frame).to_ndarray().reshape(-1, 2).astype(np.float32))
