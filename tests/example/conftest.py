"""The example film's folder, written once however many workers test it."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from splitpin.example import write

PATIENCE = 600.0
"""Seconds that a worker waits for the one that writes."""


@pytest.fixture(scope="session")
def example(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the example film; tests only read it."""
    base = tmp_path_factory.getbasetemp()
    place = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    folder, mine, over = place / "exact-change", place / "exact-change.mine", place / "exact-change.over"
    try:
        mine.mkdir()
    except FileExistsError:
        waited_until = time.monotonic() + PATIENCE
        while not over.exists() and time.monotonic() < waited_until:
            time.sleep(0.2)
        return folder
    try:
        write(folder)
    finally:
        over.touch()
    return folder
