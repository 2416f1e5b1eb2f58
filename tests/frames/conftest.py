"""What draws is compiled once, before any test is timed by it."""

from __future__ import annotations

import pytest

from splitpin.frames.warm import warm_up


@pytest.fixture(scope="session", autouse=True)
def compiled() -> None:
    """Compile the kernels."""
    warm_up()
