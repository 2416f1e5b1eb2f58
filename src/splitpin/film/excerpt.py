"""Parts of a mix, one after the other, as if there were nothing else."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from splitpin.sound.mix import Kind, Mix
from splitpin.sound.source import Sound


class Excerpt(Mix):
    """The sound of some scenes: what is heard over them in the whole film, and nothing of the rest.

    Parameters
    ----------
    whole
        The mix of the film.
    spans
        First sample and the one after the last, of each part in turn.
    """

    def __init__(self, whole: Mix, spans: Sequence[tuple[int, int]]) -> None:
        super().__init__((), {}, sum(end - start for start, end in spans))
        self._whole, self._spans = whole, tuple(spans)

    def stem(self, kind: Kind) -> Excerpt:
        """What is heard in it of one kind of sound."""
        return Excerpt(self._whole.stem(kind), self._spans)

    def read(self, start: int, count: int) -> Sound:
        """``count`` samples from ``start`` on; silence outside."""
        out = np.zeros((count, 2), dtype=np.float32)
        before = 0
        for first, end in self._spans:
            low, high = max(start, before), min(start + count, before + end - first)
            if low < high:
                out[low - start : high - start] = self._whole.read(first + low - before, high - low)
            before += end - first
        return out
