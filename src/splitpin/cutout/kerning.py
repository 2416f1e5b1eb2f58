"""How much closer, or further apart, pairs of letters stand than their widths say.

The tables ``cmap`` (formats 4 and 12) and ``kern`` (format 0) of OpenType fonts. The drawing library reads
them too, but its engine that is the same on every computer takes a sixty-fourth of each distance.
"""

from __future__ import annotations

import struct
from collections.abc import Callable
from functools import lru_cache

Kerning = Callable[[str, str], float]
"""Of two letters: the distance in sizes of the type, below 0 where they stand closer."""


@lru_cache(maxsize=8)
def kerning(font: bytes) -> Kerning:
    """The kerning of a font; none for a font without such tables, or with tables that are broken."""
    try:
        tables = _tables(font)
        glyphs = _glyphs(tables[b"cmap"])
        pairs = _pairs(tables[b"kern"])
        (units,) = struct.unpack_from(">H", tables[b"head"], 18)
    except (KeyError, struct.error, IndexError):
        return _none

    size = max(int(units), 1)

    def between(left: str, right: str) -> float:
        return pairs.get((glyphs.get(ord(left), 0), glyphs.get(ord(right), 0)), 0) / size

    return between


def _none(left: str, right: str) -> float:  # noqa: ARG001 - whatever they are
    return 0.0


def _tables(font: bytes) -> dict[bytes, bytes]:
    (count,) = struct.unpack_from(">H", font, 4)
    found = {}
    for i in range(count):
        tag, _, offset, length = struct.unpack_from(">4sIII", font, 12 + 16 * i)
        found[tag] = font[offset : offset + length]
    return found


def _glyphs(cmap: bytes) -> dict[int, int]:
    """The glyph of each letter."""
    (count,) = struct.unpack_from(">H", cmap, 2)
    found: dict[int, int] = {}
    for i in range(count):
        platform, encoding, offset = struct.unpack_from(">HHI", cmap, 4 + 8 * i)
        (form,) = struct.unpack_from(">H", cmap, offset)
        if (platform, encoding) not in ((0, 3), (0, 4), (3, 1), (3, 10)):
            continue
        if form == 4:
            found = _segments(cmap[offset:]) | found
        elif form == 12:
            (groups,) = struct.unpack_from(">I", cmap, offset + 12)
            for g in range(min(groups, 10_000)):
                first, last, glyph = struct.unpack_from(">III", cmap, offset + 16 + 12 * g)
                found |= {c: glyph + c - first for c in range(first, min(last, first + 65_535) + 1)}
    return found


def _segments(table: bytes) -> dict[int, int]:
    (doubled,) = struct.unpack_from(">H", table, 6)
    count = doubled // 2
    ends, starts, deltas, offsets = (
        struct.unpack_from(f">{count}H", table, at)
        for at in (14, 16 + doubled, 16 + 2 * doubled, 16 + 3 * doubled)
    )
    found: dict[int, int] = {}
    for i, (start, end, delta, offset) in enumerate(zip(starts, ends, deltas, offsets, strict=True)):
        for letter in range(start, end + 1):
            glyph = letter
            if offset:
                at = 16 + 3 * doubled + 2 * i + offset + 2 * (letter - start)
                glyph = struct.unpack_from(">H", table, at)[0] if at + 2 <= len(table) else 0
            found[letter] = (glyph + delta) % 65_536 if glyph or not offset else 0
    return found


def _pairs(kern: bytes) -> dict[tuple[int, int], int]:
    version, count = struct.unpack_from(">HH", kern)
    found: dict[tuple[int, int], int] = {}
    at = 4
    for _ in range(count if version == 0 else 0):
        _, length, coverage = struct.unpack_from(">HHH", kern, at)
        # Horizontal distances, not the least ones, along the line.
        if coverage & 0xFF07 == 1:
            (pairs,) = struct.unpack_from(">H", kern, at + 6)
            for i in range(pairs):
                left, right, value = struct.unpack_from(">HHh", kern, at + 14 + 6 * i)
                found[left, right] = value
        at += length
    return found
