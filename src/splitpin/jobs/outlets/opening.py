"""What a film file opens with: its pictures, coded and kept like segments, and its sound."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from hashlib import blake2b
from typing import NamedTuple

import numpy as np

from splitpin.device.coded import Coded
from splitpin.device.stills import card_font
from splitpin.film.opening import Opening, Part, leader
from splitpin.film.roll import Held, Rgb
from splitpin.frames.bars import bars
from splitpin.frames.cards import count, slate
from splitpin.frames.rect import Rect
from splitpin.jobs.shop import Shop
from splitpin.measure.table import Stage
from splitpin.sound.lineup import tones
from splitpin.sound.source import Sound

DRAWN = 1
"""Counts changes to how openings look and sound: raise it and they are made again."""
Coder = Callable[[Iterable[Held]], Coded]


class Ahead(NamedTuple):
    """An opening, and what its slate says."""

    opening: Opening
    title: str
    lines: tuple[tuple[str, str], ...]

    def order(self, shop: Shop, coding: str, code: Coder) -> tuple[list[str], list[Callable[[], None]]]:
        """What its parts are kept by, in order, and what makes those that are not there.

        Parameters
        ----------
        shop
            Where they are kept.
        coding
            What coded pictures depend on.
        code
            Codes the pictures of one part.
        """
        keys = [self._key(part, shop.stage, coding) for part in self.opening.parts]
        tasks: list[Callable[[], None]] = [
            partial(self._draw, shop, part, key, code)
            for part, key in zip(self.opening.parts, keys, strict=True)
            if shop.store.coded(key) is None
        ]
        return keys, tasks

    def _draw(self, shop: Shop, part: Part, key: str, code: Coder) -> None:
        shop.store.keep(key, code(self._pictures(shop, part)))

    def _key(self, part: Part, stage: Stage, coding: str) -> str:
        said = (self.title, self.lines) if part.what == "slate" else ()
        told = repr((DRAWN, part, str(self.opening.rate), tuple(stage), said, coding))
        return blake2b(f"opening {told}".encode(), digest_size=20).hexdigest()

    def _pictures(self, shop: Shop, part: Part) -> Iterator[Held]:
        stage, font = shop.stage, card_font()

        def held(rgb: Rgb, frames: int) -> Held:
            shop.stop.here()
            return Held(rgb, (Rect(0, 0, stage.width, stage.height),), frames)

        if part.what == "bars":
            yield held(bars(stage), part.frames)
        elif part.what == "slate":
            yield held(slate(stage, self.title, self.lines, font), part.frames)
        else:
            black = np.zeros((stage.height, stage.width, 3), np.uint8)
            for seen in leader(self.opening.rate):
                drawn = black if seen.figure is None else count(stage, seen.figure, float(seen.turn), font)
                yield held(drawn, seen.frames)

    def sound(self) -> Iterator[Sound]:
        """What is heard of it, block by block."""
        return tones(self.opening.samples, self.opening.tones, self.opening.level)

    @property
    def signature(self) -> str:
        """What its sound depends on; empty when there is none."""
        return f" {DRAWN} {self.opening!r}" if self.opening.parts else ""
