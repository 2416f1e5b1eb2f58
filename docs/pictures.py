"""Draw the pictures of the README from the example film: ``make pictures``.

A moving picture of its last gag, some stills, and the places of the workbench go into ``docs/pictures/``.
What is called ``…-before`` there shows the film as it was when masks drawn by code did the cutting; it is
kept, not drawn.
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from desk import draw
from PIL import Image, ImageDraw, ImageFont

import splitpin
from splitpin.device.soundfile_reader import read_blocks
from splitpin.example import write
from splitpin.jobs.read import read_voice

HERE = Path(__file__).parent / "pictures"
SMALL = (480, 270)
FRAMES = 2
"""The film is on twos: every second frame tells all."""
FROM, UNTIL = ("050-bolt", 8), ("060-ring", 162)
"""Scene and frame where the moving picture begins and ends."""
LEFT_OUT = ("060-ring", 14, 32)
"""A moment that reads as well without sound when it is shorter."""
STILLS = {"mrow": ("015-mrow", 14), "queue": ("040-queue", 38), "cup": ("000-title", 14)}
TITLE, COINS = ("000-title", 36), ("040-queue", 60)
"""What is compared with how it was before: the title, and the coins from near by."""
NEAR_BY = (880, 700, 1760, 895)
"""Left, top, right, bottom of the coins in the frame."""
TRACK = "mrow.flac"
"""The voice whose reading is drawn."""
PAPER, INK, GREY, RED = "#f6f1e4", "#2c2826", "#b9b0a0", "#a8452f"
COLUMN, WAVE, MOUTH = 64, 200, 110
"""Pixels: the width of one exposure, the height of the waveform, the height of the mouths beneath it."""
HALF = 720
"""Width of one side of a comparison, pixels."""


def main() -> None:
    """Write the example into a folder of its own, draw it, keep what is wanted."""
    HERE.mkdir(exist_ok=True)
    with TemporaryDirectory() as place:
        write(Path(place))
        film = splitpin.open(place)
        starts: dict[str, int] = {}
        first = 0
        for sheet in film.sheets():
            starts[sheet.scene] = first
            first += sheet.frames

        def at(scene: str, frame: int) -> int:
            return starts[scene] + frame

        for name, where in STILLS.items():
            still = Image.fromarray(film.frame(at(*where))).resize((960, 540), Image.Resampling.LANCZOS)
            still.save(HERE / f"{name}.webp", quality=82, method=6)
        _read(Path(place), HERE / "reading.webp")
        _side(Image.fromarray(film.frame(at(*TITLE))), HERE / "title.webp")
        _side(Image.fromarray(film.frame(at(*COINS))).crop(NEAR_BY), HERE / "coins.webp")
        scene, gone, back = LEFT_OUT
        wanted = [
            n for n in range(at(*FROM), at(*UNTIL), FRAMES) if not at(scene, gone) <= n < at(scene, back)
        ]
        small = [Image.fromarray(film.frame(n)).resize(SMALL, Image.Resampling.LANCZOS) for n in wanted]
        rate = film.folder.film.exact_rate
        small[0].save(
            HERE / "exact-change.webp",
            save_all=True,
            append_images=small[1:],
            duration=[round(1000 * FRAMES / rate)] * (len(small) - 1) + [1500],
            loop=0,
            quality=74,
            method=4,
            minimize_size=False,
        )
        draw(Path(place), HERE)


def _read(root: Path, file: Path) -> None:
    """The waveform of a voice, and beneath each exposure of it the mouth that is read."""
    heard = read_voice(root / "sounds" / TRACK)
    reading, mouths = heard.reading, heard.reading.exposures()
    blocks = np.concatenate(list(read_blocks(root / "sounds" / TRACK))).mean(axis=1)
    wide = COLUMN * len(mouths)
    page = Image.new("RGB", (wide + 40, WAVE + MOUTH + 60), PAPER)
    pen, left, middle = ImageDraw.Draw(page), 20, 20 + WAVE // 2
    step = reading.on / float(reading.rate) * 48_000 / COLUMN
    loudest = float(np.abs(blocks).max())
    for x in range(wide):
        part = blocks[round(x * step) : round((x + 1) * step)]
        high = float(np.abs(part).max(initial=0.0)) / loudest * WAVE / 2
        pen.line([left + x, middle - high, left + x, middle + high], INK)
    base = 20 + WAVE + MOUTH // 2 + 8
    for k, mouth in enumerate(mouths):
        x = left + k * COLUMN
        pen.line([x, 14, x, WAVE + MOUTH + 36], GREY)
        across = {"shut": 19.0, "small": 21.0, "open": 19.0, "round": 12.0}[mouth.shape]
        down = max(1.5, mouth.opening * 36)
        at = x + COLUMN / 2
        pen.ellipse([at - across - 4, base - down - 4, at + across + 4, base + down + 4], RED)
        if mouth.shape != "shut":
            pen.ellipse([at - across, base - down, at + across, base + down], INK)
        pen.text((at, WAVE + MOUTH + 44), str(mouth.frame), INK, anchor="mm", font=ImageFont.load_default(15))
    for word in heard.speech.words:
        at = left + word.start_s * float(reading.rate) / reading.on * COLUMN
        pen.text((at + 6, 20), word.text, RED, font=ImageFont.load_default(20))
    pen.line([left + wide, 14, left + wide, WAVE + MOUTH + 36], GREY)
    page.save(file, lossless=True, method=6)


def _side(picture: Image.Image, file: Path) -> None:
    """One side of a comparison."""
    height = round(HALF * picture.height / picture.width)
    picture.resize((HALF, height), Image.Resampling.LANCZOS).save(file, quality=84, method=6)


if __name__ == "__main__":
    main()
