"""Many pieces of work, a few at a time."""

from __future__ import annotations

from threading import Lock

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.jobs.workers import Stop, StoppedError, run_all


@given(count=st.integers(0, 20), workers=st.integers(1, 6))
def test_every_task_is_done_once(count: int, workers: int) -> None:
    done: list[int] = []
    run_all([lambda i=i: done.append(i) for i in range(count)], workers, Stop())  # type: ignore[misc]
    assert sorted(done) == list(range(count))


def test_the_first_failure_stops_the_rest_and_is_raised() -> None:
    done: list[int] = []
    lock = Lock()
    stop = Stop()

    def work(i: int) -> None:
        stop.here()
        if i == 3:
            raise ValueError("three")
        with lock:
            done.append(i)

    with pytest.raises(ValueError, match="three"):
        run_all([lambda i=i: work(i) for i in range(1000)], 1, stop)  # type: ignore[misc]
    assert len(done) < 1000
    with pytest.raises(StoppedError):
        stop.here()
