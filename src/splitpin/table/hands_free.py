"""Expose by itself: when hands have been over the table, have left, and all has been still for a moment."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

Small = NDArray[np.uint8]
"""A small grey picture of the table, (h, w); 160 × 90 is enough."""
State = Literal["waiting", "hands", "settling"]
DARK = 32.0
"""Added to brightness before its logarithm, so that noise in the dark is no motion; of 255."""
SMOOTH = 6.0
"""What is softer than so many cells is light and shadow, not paper."""


@dataclass(frozen=True)
class Patience:
    """When something counts as a hand, and as still; found by simulation, no source."""

    change: float = 0.09
    """A cell whose contrast with what is round it differs by more than this share has been passed over."""
    hand: float = 0.012
    """The least share of cells that change from one moment to the next under a hand."""
    calm: float = 0.002
    """The most of them while all is still."""
    seconds: float = 0.8
    """For so long all must be still after hands have left."""
    resting: float = 4.0
    """A thing that reaches in over the edge and lies still for longer belongs to the picture, seconds."""
    edge: float = 0.03
    """The share of cells along the edge that look otherwise than at the last exposure while a hand rests."""
    moved: float = 0.0004
    """The least share of cells that must look otherwise than at the last exposure, else nothing was done."""


@dataclass
class HandsFree:
    """Watches small pictures as they come and tells when to expose.

    The light may tremble and a shadow may pass: what is softer than paper's edges is taken out before
    pictures are compared. A position is exposed once: another time only after hands were seen again. Hands
    that change nothing are told of nothing, unless the plan holds.
    """

    patience: Patience = field(default_factory=Patience)
    state: State = "waiting"
    _before: NDArray[np.float32] | None = None
    _last: NDArray[np.float32] | None = None
    _since: float = 0.0

    def look(self, small: Small, time: float, *, hold: bool = False) -> bool:
        """Look at a picture; whether to expose now.

        Parameters
        ----------
        small
            uint8 (h, w), grey, always of one size.
        time
            Seconds, on any clock that only goes on.
        hold
            Whether the plan wants the same position once more: then hands need change nothing.
        """
        now = paper_alone(small)
        before, self._before = self._before, now
        if before is None or self._last is None:
            self._last, self._since = now, time
            return False
        moving = float(self._other(now, before).mean())
        if moving >= self.patience.hand:
            self.state, self._since = "hands", time
        elif moving > self.patience.calm:
            self._since = time
        elif self.state == "hands":
            self.state, self._since = "settling", time
        still = time - self._since
        if self.state != "settling" or still < self.patience.seconds:
            return False
        other = self._other(now, self._last)
        if _along_the_edge(other) > self.patience.edge and still < self.patience.resting:
            return False
        self.state = "waiting"
        done = hold or float(other.mean()) >= self.patience.moved
        if done:
            self._last = now
        return done

    def exposed(self, small: Small) -> None:
        """Somebody has exposed by hand: what is seen now is the last position."""
        self._last = paper_alone(small)
        self.state = "waiting"

    def _other(self, a: NDArray[np.float32], b: NDArray[np.float32]) -> NDArray[np.bool_]:
        return np.asarray(np.abs(a - b) > self.patience.change)


def paper_alone(small: Small) -> NDArray[np.float32]:
    """The contrast of each cell with what is round it, without light and soft shadow: float32 (h, w).

    Light multiplies what paper reflects; in logarithms it is added, and what changes slowly over the table is
    taken out (homomorphic filtering: Oppenheim, Schafer and Stockham 1968, from memory).
    """
    log = np.log(small.astype(np.float32) + DARK)
    return np.asarray(log - cv2.GaussianBlur(log, (0, 0), SMOOTH), np.float32)


def _along_the_edge(other: NDArray[np.bool_]) -> float:
    """The share of the cells along the edge that are other ones."""
    edge = np.concatenate(
        [other[:2].ravel(), other[-2:].ravel(), other[:, :2].ravel(), other[:, -2:].ravel()]
    )
    return float(edge.mean())
