"""Coded picture or sound on its way into a film: packets, and the file that keeps them."""

from __future__ import annotations

import struct
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import BinaryIO, NamedTuple
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from splitpin.device.beside import beside

MAGIC = b"splitpin coded 3"
LENGTHS, SUM = struct.Struct("<IQ"), struct.Struct("<I")
"""At the end of the file: length of the header, number of packets; sum of all before (CRC-32)."""
CHUNK = 1 << 20


class CodedPacket(NamedTuple):
    """One coded picture, or one block of coded sound."""

    pts: int
    """When it is shown or heard: frames (picture) or samples (sound) after the start of its stream."""
    duration: int
    """How long, in the same unit."""
    key: bool
    """Whether decoding can begin here."""
    data: bytes


class Coded(NamedTuple):
    """A stream, in the order of decoding."""

    header: bytes
    """What the decoder must know beforehand (H.264 parameter sets, AAC configuration)."""
    packets: Iterable[CodedPacket]
    """Perhaps made or read only as they are asked for."""


class KeptPackets:
    """Packets in a file, read as they are asked for, as often as they are asked for."""

    def __init__(self, path: Path, index: NDArray[np.int64]) -> None:
        self._path, self._index = path, index

    def __len__(self) -> int:
        return len(self._index)

    def __iter__(self) -> Iterator[CodedPacket]:
        with self._path.open("rb") as file:
            file.seek(len(MAGIC))
            for row in self._index:
                pts, duration, key, size = map(int, row)
                yield CodedPacket(pts, duration, bool(key), file.read(size))


def write_coded(path: Path, coded: Coded) -> None:
    """Keep a stream: packets as they come, then the header, what the packets are, and a sum over it all."""
    index: list[tuple[int, int, int, int]] = []
    with beside(path) as part, part.open("wb") as file:
        sum_ = _put(file, MAGIC, 0)
        for packet in coded.packets:
            sum_ = _put(file, packet.data, sum_)
            index.append((packet.pts, packet.duration, packet.key, len(packet.data)))
        sum_ = _put(file, np.array(index, "<i8").tobytes(), sum_)
        sum_ = _put(file, coded.header, sum_)
        sum_ = _put(file, LENGTHS.pack(len(coded.header), len(index)), sum_)
        file.write(SUM.pack(sum_))


def _put(file: BinaryIO, data: bytes, sum_: int) -> int:
    file.write(data)
    return crc32(data, sum_)


def read_coded(path: Path) -> Coded | None:
    """A kept stream; None when there is none or when it is not whole."""
    try:
        with path.open("rb") as file:
            end = file.seek(0, 2) - SUM.size
            if end < len(MAGIC) + LENGTHS.size:
                return None
            file.seek(end - LENGTHS.size)
            header, count = LENGTHS.unpack(file.read(LENGTHS.size))
            if SUM.unpack(file.read()) != (_sum(file, end),):
                return None
            file.seek(end - LENGTHS.size - header - 32 * count)
            index = np.frombuffer(file.read(32 * count), "<i8").reshape(count, 4).astype(np.int64)
            return Coded(file.read(header), KeptPackets(path, index))
    except OSError:
        return None


def _sum(file: BinaryIO, size: int) -> int:
    file.seek(0)
    sum_ = 0
    while size > 0:
        data = file.read(min(size, CHUNK))
        if not data:
            return -1
        sum_, size = crc32(data, sum_), size - len(data)
    return sum_
