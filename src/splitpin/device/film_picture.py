"""The picture track of a film: H.264, coded a segment at a time."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal, NamedTuple

import av
import numpy as np
from av.codec.context import Flags
from av.video.codeccontext import VideoCodecContext
from numpy.typing import NDArray

from splitpin.device.coded import Coded, CodedPacket

BT709 = 1
"""Primaries, transfer and matrix of ITU-R BT.709 (ITU-T H.273, tables 2 to 4)."""
LIMITED = 1
"""Limited range, in the codec library's numbering."""
REORDERING = 2
"""Frames by which decoding runs ahead of showing: one for B-frames, one for those that others refer to."""
PRESET = {"draft": "veryfast", "fine": "medium"}
LOOKAHEAD = {"draft": 10, "fine": 40}
"""Frames that the coder looks ahead, as its presets have it."""
LOOKAHEAD_PIXELS = 40 * 1920 * 1080
"""Larger pictures look less far ahead, so that a worker at 8K does not take gigabytes."""


class PictureTrack(NamedTuple):
    """All that decides how frames are coded; equal values give streams that can be joined."""

    width: int
    height: int
    rate: Fraction
    quality: int = 18
    """Constant rate factor."""
    effort: Literal["draft", "fine"] = "fine"

    @property
    def signature(self) -> str:
        """What a coded stream depends on besides its frames, the libraries' versions among it."""
        library = ".".join(map(str, av.library_versions["libavcodec"]))
        return f"{tuple(self)!r} {_options(self)!r} avcodec {library}"


OPTIONS = {
    "profile": "high",
    # One thread and no look at the clock: the same frames give the same bytes. A segment is one closed group
    # of pictures, so that segments can be put one after the other.
    "x264-params": "threads=1:keyint=infinite:scenecut=0:open-gop=0:bframes=3:b-pyramid=normal:force-cfr=1"
    # A chroma sample lies in the middle of its four pixels (H.264, annex E, chroma_sample_loc_type 1).
    ":chromaloc=1",
}


def set_up(context: VideoCodecContext, track: PictureTrack) -> None:
    """Make a coder ready for a track, without opening it."""
    context.width, context.height = track.width, track.height
    context.pix_fmt = "yuv420p"
    context.framerate = track.rate
    context.time_base = 1 / track.rate
    context.sample_aspect_ratio = Fraction(1)
    context.thread_count = 1
    context.color_primaries = context.color_trc = context.colorspace = BT709
    context.color_range = LIMITED
    context.flags |= Flags.global_header | Flags.closed_gop
    context.options = _options(track)


def _options(track: PictureTrack) -> dict[str, str]:
    ahead = min(LOOKAHEAD[track.effort], max(8, LOOKAHEAD_PIXELS // (track.width * track.height)))
    return {
        **OPTIONS,
        "preset": PRESET[track.effort],
        "crf": str(track.quality),
        "rc-lookahead": str(ahead),
    }


class SegmentCoder:
    """Codes the frames of one segment.

    The first is a picture that stands alone, and none refers to a frame outside.

    Attributes
    ----------
    luma, blue, red
        The planes to write a picture to before it is held: uint8, 4:2:0, BT.709, limited range.
    """

    def __init__(self, track: PictureTrack) -> None:
        self.track = track
        self._context = av.CodecContext.create("libx264", "w")
        set_up(self._context, track)
        self._context.open()
        height, width = track.height, track.width
        whole, quarter = width * height, width * height // 4
        buffer = np.zeros(whole + 2 * quarter, np.uint8)
        self.luma: NDArray[np.uint8] = buffer[:whole].reshape(height, width)
        self.blue: NDArray[np.uint8] = buffer[whole : whole + quarter].reshape(height // 2, width // 2)
        self.red: NDArray[np.uint8] = buffer[whole + quarter :].reshape(height // 2, width // 2)
        self._planes = buffer.reshape(height * 3 // 2, width)
        self._packets: list[CodedPacket] = []
        self._next = 0

    def hold(self, frames: int) -> None:
        """Code what is in the planes now, for so many frames."""
        # A frame that shares the buffer would cost no copy, but PyAV 18 lays its chroma rows wrongly where
        # the height is two more than a multiple of four.
        picture = av.VideoFrame.from_ndarray(self._planes, format="yuv420p")
        picture.time_base = self._context.time_base
        for _ in range(frames):
            picture.pts = self._next
            self._next += 1
            self._keep(self._context.encode(picture))

    def finish(self) -> Coded:
        """The coded segment; nothing can be added any more."""
        self._keep(self._context.encode(None))
        return Coded(bytes(self._context.extradata or b""), tuple(self._packets))

    def _keep(self, packets: list[av.Packet]) -> None:  # type: ignore[type-arg]
        for packet in packets:
            self._packets.append(CodedPacket(packet.pts or 0, 1, packet.is_keyframe, bytes(packet)))
