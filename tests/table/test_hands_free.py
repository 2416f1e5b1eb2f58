"""A simulated session at the table: each position is exposed once, and nothing else ever is."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from splitpin.table.hands_free import HandsFree

FPS = 12
WIDE, HIGH = 160, 90


class Session:
    """A table with pieces, hands, trembling light, and people who walk past the window."""

    def __init__(self, seed: int) -> None:
        self.random = np.random.default_rng(seed)
        noise = self.random.normal(0, 1, (HIGH, WIDE))
        self.ground = 120 + 25 * cv2.GaussianBlur(noise, (0, 0), 2.0) / 0.2
        self.pieces = [
            [float(self.random.uniform(30, 130)), float(self.random.uniform(25, 65)),
             float(self.random.uniform(4, 12)), float(self.random.choice([40, 70, 190, 230]))]
            for _ in range(5)
        ]  # fmt: skip
        self.time = 0.0
        self.free = HandsFree()

    def table(self) -> NDArray[np.float64]:
        seen: NDArray[np.float64] = self.ground.astype(np.float64)
        for x, y, r, grey in self.pieces:
            cv2.circle(seen, (round(x * 16), round(y * 16)), round(r * 16), grey, -1, cv2.LINE_AA, 4)
        return seen

    def see(self, hand: float = 0.0, shade: float = -1.0, hold: bool = False) -> bool:
        """One moment: a hand from 0, out of the picture, to 1, over it; a shadow's place from 0 to 1."""
        seen = self.table()
        if hand > 0:
            where = (round(80 + float(self.random.normal(0, 2))), HIGH)
            cv2.ellipse(seen, where, (14, round(hand * HIGH * 0.8)), 0, 0, 360, 165.0, -1, cv2.LINE_AA)
        if shade >= 0:
            x = np.linspace(0, 1, WIDE)
            seen = seen * (1 - 0.3 * np.exp(-((x - 1.4 * shade + 0.2) ** 2) / 0.04))
        seen = seen * (1 + float(self.random.normal(0, 0.02))) + self.random.normal(0, 0.7, seen.shape)
        self.time += 1 / FPS
        return self.free.look(np.clip(seen, 0, 255).astype(np.uint8), self.time, hold=hold)

    def rest(self, seconds: float, hold: bool = False) -> int:
        return sum(self.see(hold=hold) for _ in range(round(seconds * FPS)))

    def reach(self, move: bool, hold: bool = False) -> int:
        """A hand comes, perhaps moves something, stays a while, goes."""
        count = sum(self.see(float(share), hold=hold) for share in np.linspace(0, 1, 5))
        count += sum(self.see(1.0, hold=hold) for _ in range(int(self.random.integers(4, 30))))
        if move:
            # what is moved lies on top: nothing hides that it was
            piece = self.pieces.pop(int(self.random.integers(len(self.pieces))))
            angle, far = float(self.random.uniform(0, 2 * np.pi)), float(self.random.uniform(0.8, 4.0))
            piece[0] = float(np.clip(piece[0] + far * np.cos(angle), 20, 140))
            piece[1] = float(np.clip(piece[1] + far * np.sin(angle), 20, 70))
            self.pieces.append(piece)
        return count + sum(self.see(float(share), hold=hold) for share in np.linspace(1, 0, 5))

    def shadow(self) -> int:
        return sum(self.see(shade=float(s)) for s in np.linspace(0, 1, 20))


@pytest.mark.parametrize("seed", range(4))
def test_each_of_fifty_positions_is_exposed_exactly_once(seed: int) -> None:
    # Four sessions of fifty: two hundred of two hundred. Steps are 2 to 10 mm of a field of 400.
    session = Session(seed)
    assert session.rest(1.0) == 0
    counts = []
    for n in range(50):
        count = session.reach(move=True)
        assert count == 0, "exposed with a hand in the picture"
        if n % 5 == 0:
            count += session.shadow()
        count += session.rest(2.0)
        if n % 7 == 0:
            count += session.shadow()
        counts.append(count)
    assert counts == [1] * 50


def test_hands_that_change_nothing_expose_nothing_unless_the_plan_holds() -> None:
    session = Session(11)
    session.rest(1.0)
    for _ in range(10):
        assert session.reach(move=False) + session.rest(2.0) == 0
    for _ in range(10):
        assert session.reach(move=False, hold=True) + session.rest(2.0, hold=True) == 1


def test_shadows_and_trembling_light_alone_expose_nothing() -> None:
    session = Session(12)
    assert session.rest(5.0) == 0
    assert sum(session.shadow() + session.rest(1.5) for _ in range(20)) == 0


def test_a_hand_that_rests_on_the_table_is_waited_for() -> None:
    session = Session(14)
    session.rest(1.0)
    assert sum(session.see(float(share)) for share in np.linspace(0, 1, 5)) == 0
    assert sum(session.see(1.0) for _ in range(3 * FPS)) == 0


def test_after_an_exposure_by_hand_the_same_position_is_not_exposed_again() -> None:
    session = Session(13)
    session.rest(1.0)
    session.reach(move=True)
    session.free.exposed(np.clip(session.table(), 0, 255).astype(np.uint8))
    assert session.rest(3.0) == 0
