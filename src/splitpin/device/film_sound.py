"""The sound track of a film: AAC-LC, 48 kHz, stereo; coded, and decoded again to be measured as heard."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import cast

import av
import numpy as np
from av.audio.codeccontext import AudioCodecContext
from av.codec.context import Flags
from numpy.typing import NDArray

from splitpin.device.coded import Coded, CodedPacket

SAMPLING = 48_000
BIT_RATE = 320_000
BLOCK = 1024
"""Samples in a packet of AAC-LC (ISO/IEC 14496-3); the coder's run-up is one packet."""

SIGNATURE = f"aac {BIT_RATE} avcodec {'.'.join(map(str, av.library_versions['libavcodec']))}"
"""What a coded track depends on besides its sound."""

Sound = NDArray[np.float32]


def set_up_sound(context: AudioCodecContext) -> None:
    """Make a coder ready, without opening it."""
    context.sample_rate = SAMPLING
    context.layout = "stereo"
    context.format = "fltp"
    context.bit_rate = BIT_RATE
    context.time_base = Fraction(1, SAMPLING)
    context.thread_count = 1
    context.flags |= Flags.global_header
    context.options = {"profile": "aac_low"}


def code_sound(blocks: Iterable[Sound]) -> Coded:
    """Code a track.

    Parameters
    ----------
    blocks
        float32 (n, 2), of any lengths: 48 kHz, full scale is ±1.

    Returns
    -------
    Coded
        Packets in samples, coded as they are asked for, once. The first begins 1024 samples before the track:
        the coder's run-up. The last is as long as what is left of the track.
    """
    context = av.CodecContext.create("aac", "w")
    set_up_sound(context)
    context.open()
    return Coded(bytes(context.extradata or b""), _coded(context, blocks))


def _coded(context: AudioCodecContext, blocks: Iterable[Sound]) -> Iterator[CodedPacket]:
    length = 0
    for block in _even(blocks):
        frame = av.AudioFrame.from_ndarray(np.ascontiguousarray(block.T), format="fltp", layout="stereo")
        frame.sample_rate, frame.pts, frame.time_base = SAMPLING, length, Fraction(1, SAMPLING)
        length += len(block)
        yield from _packets(context.encode(frame))
    # What comes now was held back: the end of the track lies in it.
    for packet in _packets(context.encode(None)):
        if packet.pts < length:
            yield packet._replace(duration=min(packet.duration, length - packet.pts))


def decode_sound(coded: Coded) -> Iterator[Sound]:
    """The track as a player gives it: float32 (n, 2), without the run-up, as long as it was."""
    context = av.CodecContext.create("aac", "r")
    context.extradata = coded.header
    context.sample_rate, context.layout = SAMPLING, "stereo"
    context.open()
    # A block comes out for each packet that goes in, and is as long as the packet says.
    for packet in coded.packets:
        for frame in context.decode(av.Packet(packet.data)):
            sound = cast(Sound, frame.to_ndarray()).T
            inside = sound[max(0, -packet.pts) : packet.duration]
            if len(inside):
                yield np.ascontiguousarray(inside)


def _even(blocks: Iterable[Sound]) -> Iterator[Sound]:
    kept = np.zeros((0, 2), np.float32)
    for block in blocks:
        kept = np.concatenate([kept, block.astype(np.float32, copy=False)])
        whole = len(kept) - len(kept) % BLOCK
        for at in range(0, whole, BLOCK):
            yield kept[at : at + BLOCK]
        kept = kept[whole:]
    if len(kept):
        yield kept


def _packets(packets: list[av.Packet]) -> list[CodedPacket]:  # type: ignore[type-arg]
    return [CodedPacket(p.pts or 0, p.duration or BLOCK, True, bytes(p)) for p in packets]
