"""A whole film of 64 × 36 pixels: a character, two scenes, a drawing, sounds, takes, provenance."""

from __future__ import annotations

import struct
import zlib
from math import pi, sin
from pathlib import Path

FILM = """\
# a film for tests
format = 1
title = "Tiny"
rate = "24"
picture = [64, 36]
field_mm = 128.0
scenes = ["010-hill", "020-sea"]

[[cues]]
sound = "hum.wav"   # under everything
kind = "music"
loop = true

[outlets.web]
effort = "draft"

[captions]
shortest = 0.2
reading = 40.0
"""

HILL = """\
format = 1
title = "The hill"
background = "hill"
order = ["cat", "ball"]

[[panels]]
name = "waits"
frames = 6
action = "The cat waits."
drawing = "board/hill.png"

[[panels]]
name = "goes"
seconds = 0.25
says = "Mrow?"

[cast.cat]
character = "cat"
x = -20
pose = { head.angle = 5, mouth.shows = "open" }

[cast.ball]
cutout = "ball"
rides = "cat.body.paw"

[[moves]]
name = "pause"
move = "hold"
who = "cat"
positions = 2

[[cues]]
sound = "tick.wav"
event = "pause.end"

[[touches]]
who = "cat"
panel = "goes"
frame = 2
set = { x = 4, head.angle = -3 }
"""

SEA = """\
format = 1
on = 3
paper = "#204060"

[[panels]]
name = "calm"
frames = 6
action = "Nothing but water."
"""

CAT = """\
format = 1
title = "Cat"
order = ["body", "head", "mouth"]

[pieces.body]
cutout = "ball"
pins = { neck = [5, 2], paw = [9, 9] }

[pieces.head]
cutout = "head"
on = "body.neck"
pin = "neck"
limits = [-30, 30]

[pieces.head.pins]
neck = [3, 5]
chin = [3, 4]

[pieces.mouth]
on = "head.chin"
shows = "shut"
set.shut.cutout = "ball"
set.open.cutout = "head"
"""

PROVENANCE = """\
format = 1
source = "drawn for the tests"
date = 1912-05-31
licence = "CC0-1.0"
"""

DOCUMENTS = {
    "film.toml": FILM,
    "scenes/010-hill.toml": HILL,
    "scenes/020-sea.toml": SEA,
    "characters/cat.toml": CAT,
    "cutouts/ball.toml": 'format = 1\nwidth_mm = 20\npicture = "found"\n',
    "cutouts/head.toml": "format = 1\nwidth_mm = 12\n",
    "cutouts/hill.toml": "format = 1\nwidth_mm = 128\n",
    "pictures/found.toml": PROVENANCE,
    "sounds/tick.wav.toml": PROVENANCE,
    "sounds/hum.toml": PROVENANCE,
}


def png(
    width: int,
    height: int,
    colour: tuple[int, int, int, int] = (200, 120, 40, 255),
    packed: bytes | None = None,
) -> bytes:
    """A picture of one colour; or of ``packed`` in place of its pixels."""

    def chunk(tag: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + tag + data + struct.pack(">I", zlib.crc32(tag + data))

    row = b"\0" + bytes(colour) * width
    head = struct.pack(">IIBBBBB", width, height, 8, 6, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(row * height) if packed is None else packed)
        + chunk(b"IEND", b"")
    )


def wav(seconds: float, hertz: float, sampling: int = 8000) -> bytes:
    """A tone."""
    count = int(seconds * sampling)
    data = b"".join(struct.pack("<h", int(9000 * sin(2 * pi * hertz * i / sampling))) for i in range(count))
    form = struct.pack("<HHIIHH", 1, 1, sampling, sampling * 2, 2, 16)
    body = b"WAVEfmt " + struct.pack("<I", 16) + form + b"data" + struct.pack("<I", len(data)) + data
    return b"RIFF" + struct.pack("<I", len(body)) + body


FILES = {
    "board/hill.png": png(32, 18),
    "cutouts/ball.png": png(10, 10),
    "cutouts/head.png": png(6, 6, (90, 90, 90, 200)),
    "cutouts/hill.png": png(64, 36, (90, 160, 60, 255)),
    "pictures/found.png": png(20, 20),
    "sounds/tick.wav": wav(0.05, 900),
    "sounds/hum.wav": wav(0.3, 220),
    "takes/010-hill/000000.png": png(64, 36, (10, 10, 10, 255)),
    "takes/010-hill/000000-2.png": png(64, 36, (20, 20, 20, 255)),
    "takes/020-sea/000003.png": png(64, 36, (30, 30, 60, 255)),
}


def write_tiny(folder: Path) -> Path:
    """Write the film into a folder, which need not be there yet."""
    for name, text in DOCUMENTS.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    for name, data in FILES.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return folder
