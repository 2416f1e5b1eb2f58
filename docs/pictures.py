"""Draw the pictures of the README from the example film: ``make pictures``.

A moving picture of its last gag and some stills go into ``docs/pictures/``. What is called ``…-before`` there
shows the film as it was when masks drawn by code did the cutting; it is kept, not drawn.
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image

import splitpin
from splitpin.example import write

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


def _side(picture: Image.Image, file: Path) -> None:
    """One side of a comparison."""
    height = round(HALF * picture.height / picture.width)
    picture.resize((HALF, height), Image.Resampling.LANCZOS).save(file, quality=84, method=6)


if __name__ == "__main__":
    main()
