"""Coded segments and sound, joined into one film and read back by others."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import av
import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitpin.device.coded import Coded, CodedPacket, read_coded, write_coded
from splitpin.device.film_join import JoinError, join_film
from splitpin.device.film_picture import PictureTrack, SegmentCoder
from splitpin.device.film_sound import code_sound
from splitpin.measure.rate import NAMED, parse_rate, samples_of

RATES = [parse_rate(name) for name in NAMED]


def coded_segment(track: PictureTrack, frames: int, seed: int = 0) -> Coded:
    coder = SegmentCoder(track)
    rng = np.random.default_rng(seed)
    for plane in (coder.luma, coder.blue, coder.red):
        plane[:] = rng.integers(60, 200, plane.shape, np.uint8)
    for i in range(frames):
        coder.luma[: track.height // 2, i % track.width] = 16 + i
        coder.hold(1)
    return coder.finish()


def silence(frames: int, rate: Fraction) -> Coded:
    coded = code_sound([np.zeros((samples_of(frames, rate), 2), np.float32)])
    return Coded(coded.header, tuple(coded.packets))


def boxes(data: bytes, inside: tuple[bytes, ...] = ()) -> Iterator[tuple[tuple[bytes, ...], bytes]]:
    """ISO/IEC 14496-12, 4.2: 32-bit size, four letters, contents."""
    at = 0
    while at + 8 <= len(data):
        size, kind = struct.unpack_from(">I4s", data, at)
        yield (*inside, kind), data[at + 8 : at + size]
        if kind in (b"moov", b"trak", b"edts", b"mdia", b"minf", b"stbl"):
            yield from boxes(data[at + 8 : at + size], (*inside, kind))
        at += size


@settings(max_examples=15, deadline=None)
@given(lengths=st.lists(st.integers(1, 13), min_size=1, max_size=6), rate=st.sampled_from(RATES))
def test_segments_of_any_length_join_to_exactly_their_frames_one_after_the_other(
    lengths: list[int], rate: Fraction, tmp_path_factory: pytest.TempPathFactory
) -> None:
    track = PictureTrack(32, 18, rate, effort="fine")
    path = tmp_path_factory.mktemp("join") / "film.mp4"
    frames = join_film(
        path,
        track,
        (coded_segment(track, n, i) for i, n in enumerate(lengths)),
        silence(sum(lengths), rate),
        {},
    )
    assert frames == sum(lengths)
    with av.open(str(path)) as film:
        stream = film.streams.video[0]
        shown = [Fraction(f.pts or 0) * (f.time_base or 0) * rate for f in film.decode(stream)]
        assert shown == list(range(frames))
        assert stream.average_rate == rate
    with av.open(str(path)) as film:
        packets = [p for p in film.demux(film.streams.video[0]) if p.dts is not None]
        dts = [p.dts or 0 for p in packets]
        assert all(a < b for a, b in pairwise(dts))
        assert sum(p.is_keyframe for p in packets) == len(lengths)


@pytest.mark.parametrize("rate", RATES, ids=NAMED)
def test_another_reader_counts_the_same_frames_at_the_same_rate(rate: Fraction, tmp_path: Path) -> None:
    track = PictureTrack(64, 36, rate, effort="draft")
    path = tmp_path / "film.mp4"
    join_film(path, track, [coded_segment(track, 25), coded_segment(track, 2)], silence(27, rate), {})
    reader = cv2.VideoCapture(str(path))
    count = 0
    while reader.read()[0]:
        count += 1
    assert count == reader.get(cv2.CAP_PROP_FRAME_COUNT) == 27
    assert reader.get(cv2.CAP_PROP_FPS) == pytest.approx(float(rate), rel=1e-9)
    reader.release()


def test_the_film_is_what_the_web_wants(tmp_path: Path) -> None:
    """checks.md 11: MP4, moov first, H.264 High progressive 4:2:0, bt709 x3, limited range, AAC-LC 48 kHz."""
    track = PictureTrack(64, 36, Fraction(24))
    path = tmp_path / "film.mp4"
    join_film(path, track, [coded_segment(track, 24)], silence(24, track.rate), {"title": "Exact Change"})
    with av.open(str(path)) as film:
        picture, sound = film.streams.video[0], film.streams.audio[0]
        frame = next(film.decode(picture))
        context = picture.codec_context
        assert (context.name, context.profile, context.pix_fmt) == ("h264", "High", "yuv420p")
        assert (frame.color_primaries, frame.color_trc, frame.colorspace) == (1, 1, 1)  # H.273: BT.709
        assert frame.color_range == 1  # limited
        assert not frame.interlaced_frame
        assert (frame.width, frame.height) == (64, 36)
        assert (sound.codec_context.name, sound.codec_context.profile) == ("aac", "LC")
        assert (sound.codec_context.sample_rate, sound.codec_context.channels) == (48_000, 2)
        assert film.metadata["title"] == "Exact Change"
    order = [kind for (kind, *deeper), _ in boxes(path.read_bytes()) if not deeper]
    assert order.index(b"moov") < order.index(b"mdat")


@pytest.mark.parametrize("rate", RATES, ids=NAMED)
def test_both_tracks_are_as_long_as_the_film_and_start_where_their_run_up_ends(
    rate: Fraction, tmp_path: Path
) -> None:
    """Read from the file itself: ISO/IEC 14496-12, 8.6.6 edit list and 8.4.2 media header."""
    track = PictureTrack(64, 36, rate, effort="draft")
    path = tmp_path / "film.mp4"
    join_film(path, track, [coded_segment(track, 31)], silence(31, rate), {})
    edits = [
        struct.unpack_from(">IIIi", body) for kind, body in boxes(path.read_bytes()) if kind[-1] == b"elst"
    ]
    scales = [
        struct.unpack_from(">IIII", body)[3] for kind, body in boxes(path.read_bytes()) if kind[-1] == b"mdhd"
    ]
    (_, one, picture_length, picture_start), (_, other, sound_length, sound_start) = edits
    assert one == other == 1
    assert picture_length == 31 * 240_000 / rate
    assert sound_length == 5 * samples_of(31, rate)
    assert Fraction(picture_start, scales[0]) == 2 / rate
    assert Fraction(sound_start, scales[1]) == Fraction(1024, 48_000)


def test_nothing_tells_of_the_machine_or_the_hour(tmp_path: Path) -> None:
    track = PictureTrack(64, 36, Fraction(24), effort="draft")
    segment, sound = coded_segment(track, 3), silence(3, track.rate)
    for name in ("a.mp4", "b.mp4"):
        join_film(tmp_path / name, track, [segment], sound, {"title": "T"})
    assert (tmp_path / "a.mp4").read_bytes() == (tmp_path / "b.mp4").read_bytes()
    with av.open(str(tmp_path / "a.mp4")) as film:
        assert set(film.metadata) <= {"major_brand", "minor_version", "compatible_brands", "title"}


@pytest.mark.parametrize("size", [(16, 16), (18, 4000), (7680, 4320)])
def test_every_size_of_picture_can_be_coded(size: tuple[int, int], tmp_path: Path) -> None:
    track = PictureTrack(*size, Fraction(24), effort="draft")
    coder = SegmentCoder(track)
    coder.luma[:] = 100
    coder.hold(2)
    join_film(tmp_path / "film.mp4", track, [coder.finish()], silence(2, track.rate), {})
    with av.open(str(tmp_path / "film.mp4")) as film:
        frames = list(film.decode(video=0))
        assert [(f.width, f.height) for f in frames] == [size, size]
        assert film.streams.video[0].codec_context.profile == "High"


def test_a_segment_coded_otherwise_is_refused_and_nothing_is_left(tmp_path: Path) -> None:
    track = PictureTrack(64, 36, Fraction(24), effort="draft")
    other = coded_segment(PictureTrack(64, 48, Fraction(24), effort="draft"), 3)
    with pytest.raises(JoinError):
        join_film(tmp_path / "film.mp4", track, [other], silence(3, track.rate), {})
    assert list(tmp_path.iterdir()) == []


def test_the_same_frames_give_the_same_bytes() -> None:
    track = PictureTrack(64, 36, Fraction(24))
    assert coded_segment(track, 30) == coded_segment(track, 30)


def test_a_kept_segment_comes_back_as_it_was(tmp_path: Path) -> None:
    coded = coded_segment(PictureTrack(64, 36, Fraction(24), effort="draft"), 5)
    write_coded(tmp_path / "one", coded)
    kept = read_coded(tmp_path / "one")
    assert kept is not None
    assert kept.header == coded.header
    for _ in range(2):
        assert tuple(kept.packets) == coded.packets


@settings(max_examples=300, deadline=None)
@given(share=st.floats(0, 1, exclude_max=True), flip=st.booleans())
def test_a_kept_segment_that_is_not_whole_is_never_taken_for_whole(
    share: float, flip: bool, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("kept") / "one"
    write_coded(path, Coded(b"header", (CodedPacket(0, 1, True, b"some"), CodedPacket(2, 1, False, b"more"))))
    whole = path.read_bytes()
    at = int(share * len(whole))
    path.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :] if flip else whole[:at])
    assert read_coded(path) is None
