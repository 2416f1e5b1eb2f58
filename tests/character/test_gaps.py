"""Joints are bent and looked at: a wedge opens where nothing overlaps, by the area that geometry says."""

from __future__ import annotations

from math import radians

import numpy as np
import pytest
from numpy.typing import NDArray

from splitpin.character.character import Character, Piece
from splitpin.character.figure import Figure, assemble
from splitpin.character.gaps import STEP, angles_of, sweep
from splitpin.cutout.cutout import Cutout

WIDE, LONG, ENDS = 80, 160, 60
"""Pixels of a limb; its paper begins after ENDS pixels of nothing."""
MM = 0.5


def limb(*, rounded: float = 0.0) -> NDArray[np.uint8]:
    """A bar that ends straight at x = ENDS, or in a disc about the middle of that end, of so many of its half
    widths.
    """
    y, x = np.indices((WIDE + 40, ENDS + LONG)).astype(float) + 0.5
    paper = (x >= ENDS) & (np.abs(y - (WIDE + 40) / 2) <= WIDE / 2)
    paper |= np.hypot(x - ENDS, y - (WIDE + 40) / 2) <= rounded * WIDE / 2
    return np.where(paper, 255, 0).astype(np.uint8)


def figure(limits: tuple[float, float] | None = (-90, 90)) -> Figure:
    cutouts = {name: Cutout(name, ENDS + LONG, WIDE + 40, MM) for name in ("upper", "lower")}
    middle = (WIDE + 40) / 2
    pieces = {
        "upper": Piece(cutout="upper", pins={"elbow": (LONG, middle)}),
        "lower": Piece(
            cutout="lower", on="upper.elbow", pin="elbow", pins={"elbow": (ENDS, middle)}, limits=limits
        ),
    }
    return assemble("limb", Character(format=1, pieces=pieces), cutouts)


def alphas(rounded: float) -> dict[str, NDArray[np.uint8]]:
    return {"upper": np.ascontiguousarray(limb()[:, ::-1]), "lower": limb(rounded=rounded)}


def test_a_joint_without_overlap_opens_by_the_wedge_that_is_turned_away() -> None:
    found = sweep(figure(), "lower", alphas(0.0), [0.0, 10.0, 30.0, -60.0])
    assert found.holder == "upper"
    assert found.radius_mm == pytest.approx(WIDE / 2 * MM, rel=0.03)
    for bent in found.bent[1:]:
        wedge = radians(abs(bent.angle)) / 2 * (found.radius_mm * 0.99) ** 2
        assert bent.gap_mm2 == pytest.approx(wedge, rel=0.08)
        assert bent.open
    assert found.bent[0].gap_mm2 == 0


def test_a_joint_that_ends_in_a_disc_stays_closed_at_every_angle() -> None:
    found = sweep(figure(), "lower", alphas(1.0), angles_of(figure(), "lower"))
    assert not any(one.open for one in found.bent)
    assert found.clear == (-90, 90)


def test_a_disc_that_is_too_small_leaves_the_outer_part_of_the_wedge() -> None:
    found = sweep(figure(), "lower", alphas(0.5), [0.0, 40.0])
    whole = radians(40) / 2 * (found.radius_mm * 0.99) ** 2
    assert found.bent[1].gap_mm2 == pytest.approx(whole * 0.75, rel=0.12)


def test_the_clear_range_ends_before_the_first_gap() -> None:
    found = sweep(figure(), "lower", alphas(0.0), angles_of(figure(), "lower"))
    low, high = found.clear
    # Two hundredths of the disc are let pass: 0.02 * 360 degrees.
    assert -7.2 - STEP <= low < 0 < high <= 7.2 + STEP
    assert found.worst.angle in (-90, 90)


def test_a_pin_beside_the_paper_makes_no_joint() -> None:
    nothing = {"upper": limb()[:, ::-1], "lower": np.zeros_like(limb())}
    found = sweep(figure(), "lower", nothing, [0.0, 50.0])
    assert found.radius_mm == 0
    assert found.worst.gap_mm2 == 0


@pytest.mark.parametrize(
    ("limits", "ends"), [(None, (-60, 60)), ((5.0, 5.0), (5, 5)), ((-3.0, 500.0), (-3, 360))]
)
def test_a_joint_is_looked_at_over_its_whole_range(
    limits: tuple[float, float] | None, ends: tuple[float, float]
) -> None:
    angles = angles_of(figure(limits), "lower")
    assert (angles[0], angles[-1]) == ends
    assert len(angles) <= 362
