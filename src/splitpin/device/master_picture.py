"""The picture track of a master: ProRes 422 HQ, every frame by itself (SMPTE RDD 36)."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple, cast

import av
import numpy as np
from av.video.codeccontext import VideoCodecContext
from numpy.typing import NDArray

from splitpin.device.film_picture import BT709, LIMITED

CODER = "prores_aw"
"""Of the coders of this form the one that is three times as quick and, by 2 dB, the finer one."""
PIXELS = "yuv422p10le"
OPTIONS = {"profile": "3", "field_order": "progressive"}
"""Profile 3 is 422 HQ."""


class MasterTrack(NamedTuple):
    """All that decides how frames are coded."""

    width: int
    height: int
    rate: Fraction

    @property
    def signature(self) -> str:
        """What a coded frame depends on besides its picture; the rate is no part of that."""
        library = ".".join(map(str, av.library_versions["libavcodec"]))
        return f"{CODER} 1 {OPTIONS!r} {self.width} {self.height} avcodec {library}"


def set_up_master(context: VideoCodecContext, track: MasterTrack) -> None:
    """Make a coder ready for a track, without opening it."""
    context.width, context.height = track.width, track.height
    context.pix_fmt = PIXELS
    context.framerate = track.rate
    context.time_base = 1 / track.rate
    context.sample_aspect_ratio = Fraction(1)
    context.thread_count = 1
    context.color_primaries = context.color_trc = context.colorspace = BT709
    context.color_range = LIMITED
    context.options = dict(OPTIONS)


class FrameCoder:
    """Codes single frames; equal planes give equal bytes."""

    def __init__(self, track: MasterTrack) -> None:
        self._context = cast(VideoCodecContext, av.CodecContext.create(CODER, "w"))
        set_up_master(self._context, track)
        self._context.open()
        self._frame = av.VideoFrame(track.width, track.height, PIXELS)
        # The coder writes into each frame what the frame, not what the track, says of its colours.
        self._frame.color_primaries = self._frame.color_trc = self._frame.colorspace = BT709
        self._frame.color_range = LIMITED
        self._frame.time_base = self._context.time_base
        self._next = 0

    def code(self, *planes: NDArray[np.uint16]) -> bytes:
        """One frame.

        Parameters
        ----------
        planes
            Luma, Cb and Cr: 10 bits, 4:2:2, BT.709, limited range.
        """
        for plane, values in zip(self._frame.planes, planes, strict=True):
            rows = np.zeros((plane.height, plane.line_size // 2), "<u2")
            rows[:, : plane.width] = values
            plane.update(rows.tobytes())
        self._frame.pts = self._next
        self._next += 1
        [packet] = self._context.encode(self._frame)
        return bytes(packet)
