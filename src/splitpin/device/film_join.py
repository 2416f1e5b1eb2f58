"""Join coded segments and a coded sound track into one MP4 file, coding nothing again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import NamedTuple

import av
from av.audio.stream import AudioStream
from av.stream import Stream
from av.video.stream import VideoStream

from splitpin.device.beside import beside
from splitpin.device.coded import Coded, CodedPacket
from splitpin.device.film_captions import CaptionTrack, add_captions, caption_packets
from splitpin.device.film_picture import REORDERING, PictureTrack, set_up
from splitpin.device.film_sound import SAMPLING, set_up_sound
from splitpin.folder.mistake import FolderError

CONTAINER = {
    "movflags": "faststart",  # what a player must know comes first
    "movie_timescale": "240000",  # whole in samples and in frames of every rate: lengths are exact
    "fflags": "bitexact",  # no name of a library, no date
}


class JoinError(FolderError):
    """Segments that do not belong to one film."""

    def __init__(self, path: Path, header: bytes) -> None:
        super().__init__(
            f"{path.parent.name}/{path.name}",
            "a segment kept from before was coded with other settings than the film",
            "segments coded alike",
            "make the film again: what does not belong to it has been thrown away",
        )
        self.header = header
        """What the header of each segment should be."""


def join_film(
    path: Path,
    track: PictureTrack,
    segments: Iterable[Coded],
    sound: Coded,
    metadata: dict[str, str],
    captions: CaptionTrack | None = None,
) -> int:
    """Write a film.

    Parameters
    ----------
    path
        Where it goes; written beside and renamed.
    track
        What the segments were coded with.
    segments
        In the film's order; taken one after the other, so that only one need be in memory.
    sound
        AAC; packets in samples, those before nought being the coder's run-up.
    metadata
        ``title`` and the like.
    captions
        What can be read with it; None, or none, for a film without such a track.

    Returns
    -------
    int
        The number of frames.

    Raises
    ------
    JoinError
        When a segment was coded in another way; whoever keeps such segments should throw them away.
    """
    with beside(path) as part, av.open(str(part), "w", format="mp4", options=CONTAINER) as film:
        film.metadata.update(metadata)
        picture_stream: VideoStream = film.add_stream("libx264", rate=track.rate)
        set_up(picture_stream.codec_context, track)
        sound_stream: AudioStream = film.add_stream("aac", rate=SAMPLING)
        set_up_sound(sound_stream.codec_context)
        written = None
        if captions is not None and captions.samples:
            written = add_captions(film, captions, track.rate)
        film.start_encoding()
        header = bytes(picture_stream.codec_context.extradata or b"")
        frames = 0
        later = iter(sound.packets)
        heard = next(later, None)
        read = caption_packets(captions.samples) if captions is not None else []
        for timed in _in_film(path, segments, header):
            # Interleaved in the order of showing, so that a player need not reach far.
            while heard and Fraction(heard.pts, SAMPLING) <= timed.packet.pts / track.rate:
                film.mux(_packet(heard, heard.pts, Fraction(1, SAMPLING), sound_stream))
                heard = next(later, None)
            while written is not None and read and read[0].pts <= timed.packet.pts:
                film.mux(_packet(read[0], read[0].pts, 1 / track.rate, written))
                del read[0]
            film.mux(_packet(timed.packet, timed.dts, 1 / track.rate, picture_stream))
            frames += 1
        while heard:
            film.mux(_packet(heard, heard.pts, Fraction(1, SAMPLING), sound_stream))
            heard = next(later, None)
    return frames


class _Timed(NamedTuple):
    packet: CodedPacket
    dts: int


def _in_film(path: Path, segments: Iterable[Coded], header: bytes) -> Iterator[_Timed]:
    first = 0
    for segment in segments:
        if segment.header != header:
            raise JoinError(path, header)
        frames = 0
        for packet in segment.packets:
            # Decoding times run on evenly through the whole film, however short a segment is.
            yield _Timed(packet._replace(pts=packet.pts + first), first + frames - REORDERING)
            frames += 1
        first += frames


def _packet(coded: CodedPacket, dts: int, time_base: Fraction, stream: Stream) -> av.Packet:  # type: ignore[type-arg]
    packet: av.Packet = av.Packet(coded.data)  # type: ignore[type-arg]
    packet.pts, packet.dts, packet.duration = coded.pts, dts, coded.duration
    packet.time_base, packet.is_keyframe, packet.stream = time_base, coded.key, stream
    return packet
