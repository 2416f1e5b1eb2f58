"""Coded picture or sound on its way into a film: packets, and the file that keeps them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import NamedTuple
from zlib import crc32

from splitpin.device.beside import beside

MAGIC = b"splitpin coded 1 "


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
    packets: tuple[CodedPacket, ...]

    @property
    def length(self) -> int:
        """The sum of the durations."""
        return sum(p.duration for p in self.packets)


def write_coded(path: Path, coded: Coded) -> None:
    """Keep a stream: a line with the CRC-32 of the rest, a line that says what follows, the bytes."""
    told = {
        "header": coded.header.hex(),
        "packets": [(p.pts, p.duration, int(p.key), len(p.data)) for p in coded.packets],
    }
    head = json.dumps(told, separators=(",", ":")).encode() + b"\n"
    sum_ = crc32(head)
    for packet in coded.packets:
        sum_ = crc32(packet.data, sum_)
    with beside(path) as part, part.open("wb") as file:
        file.write(MAGIC + b"%08x\n" % sum_ + head)
        file.writelines(packet.data for packet in coded.packets)


def read_coded(path: Path) -> Coded | None:
    """A kept stream; None when there is none or when it is not whole."""
    try:
        raw = path.read_bytes()
    except OSError:
        return None
    start = len(MAGIC) + 9
    if raw[:start] != MAGIC + b"%08x\n" % crc32(memoryview(raw)[start:]):
        return None
    at = raw.index(b"\n", start) + 1
    told = json.loads(raw[start:at])
    packets = []
    for pts, duration, key, size in told["packets"]:
        packets.append(CodedPacket(pts, duration, bool(key), raw[at : at + size]))
        at += size
    return Coded(bytes.fromhex(told["header"]), tuple(packets))
