"""Join coded frames and plain sound into one MOV file with a time code track, coding nothing again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import cast

import av
import numpy as np
import soundfile
from av.stream import Stream
from av.video.stream import VideoStream
from numpy.typing import NDArray

from splitpin.device.beside import beside
from splitpin.device.coded import Coded
from splitpin.device.film_join import CONTAINER
from splitpin.device.master_picture import CODER, MasterTrack, set_up_master
from splitpin.measure.rate import samples_of
from splitpin.sound.source import SAMPLING, Sound

FULL = float(1 << 23)
"""Full scale at 24 bits."""


def join_master(
    path: Path,
    track: MasterTrack,
    pictures: Iterable[Coded],
    sound: Iterable[Sound],
    timecode: str,
    metadata: dict[str, str],
) -> int:
    """Write a master.

    Parameters
    ----------
    path
        Where it goes; written beside and renamed.
    track
        What the frames were coded with.
    pictures
        In the film's order; each packet is one picture, held as many frames as its duration says.
    sound
        float32 (n, 2), 48 kHz, in blocks of any length; cut, or filled with silence, to the picture's length.
    timecode
        The label of the first frame; with ``;`` before the frames it runs on in drop-frame labels.
    metadata
        ``title`` and the like.

    Returns
    -------
    int
        The number of frames.
    """
    with beside(path) as part, av.open(str(part), "w", format="mov", options=CONTAINER) as film:
        film.metadata.update(metadata)
        seen = cast(VideoStream, film.add_stream(CODER, rate=track.rate))
        set_up_master(seen.codec_context, track)
        seen.metadata["timecode"] = timecode
        heard = film.add_stream("pcm_s24le", rate=SAMPLING)
        heard.codec_context.layout, heard.codec_context.format = "stereo", "s32"
        film.start_encoding()
        reel, frame, sample = _Reel(sound), 0, 0
        for coded in pictures:
            for packet in coded.packets:
                for _ in range(packet.duration):
                    film.mux(_packet(packet.data, frame, 1, 1 / track.rate, seen))
                    frame += 1
                    # Each frame is followed by its own sound, so that a player need not reach far.
                    end = samples_of(frame, track.rate)
                    data = pcm24(reel.take(end - sample))
                    film.mux(_packet(data, sample, end - sample, Fraction(1, SAMPLING), heard))
                    sample = end
    return frame


class _Reel:
    """Blocks of any lengths, taken by the sample."""

    def __init__(self, blocks: Iterable[Sound]) -> None:
        self._blocks = iter(blocks)
        self._left: Sound = np.zeros((0, 2), np.float32)

    def take(self, count: int) -> Sound:
        """The next samples; silence past the end."""
        while len(self._left) < count:
            block = next(self._blocks, None)
            if block is None:
                block = np.zeros((count - len(self._left), 2), np.float32)
            self._left = np.concatenate([self._left, block])
        taken, self._left = self._left[:count], self._left[count:]
        return taken


def pcm24(sound: Sound) -> bytes:
    """Samples as whole numbers of 24 bits, the lowest byte first, clipped to full scale.

    >>> pcm24(np.array([[0.5, -1.0]], np.float32)).hex(" ")
    '00 00 40 00 00 80'
    """
    whole: NDArray[np.int32] = np.clip(np.rint(sound.astype(np.float64) * FULL), -FULL, FULL - 1).astype(
        "<i4"
    )
    return whole.view(np.uint8).reshape(-1, 4)[:, :3].tobytes()


def wave_blocks(path: Path) -> Iterator[Sound]:
    """A WAV file that was made here, block by block."""
    with soundfile.SoundFile(path) as file:
        yield from file.blocks(1 << 16, dtype="float32", always_2d=True)


def _packet(data: bytes, at: int, length: int, time_base: Fraction, stream: Stream) -> av.Packet:  # type: ignore[type-arg]
    packet: av.Packet = av.Packet(data)  # type: ignore[type-arg]
    packet.pts = packet.dts = at
    packet.duration, packet.time_base, packet.is_keyframe = length, time_base, True
    packet.stream = stream
    return packet
