"""Many pieces of work, a few at a time."""

from __future__ import annotations

from threading import Barrier, Event, Lock

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


@pytest.mark.parametrize("workers", [1, 3])
def test_as_many_are_at_work_at_once_as_were_asked_for_and_no_more(workers: int) -> None:
    lock, meeting = Lock(), Barrier(workers, timeout=20)
    now = most = 0

    def work() -> None:
        nonlocal now, most
        with lock:
            now += 1
            most = max(most, now)
        meeting.wait()  # passed only when so many stand here together
        with lock:
            now -= 1

    run_all([work] * (4 * workers), workers, Stop())
    assert most == workers


def test_an_interrupt_does_not_wait_for_what_takes_long(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("splitpin.jobs.workers.PATIENCE", 0.01)
    free = Event()

    def interrupt() -> None:
        raise KeyboardInterrupt

    def slow() -> None:
        free.wait(20)

    try:
        with pytest.raises(KeyboardInterrupt):
            run_all([slow, interrupt], 2, Stop())
        assert not free.is_set()
    finally:
        free.set()
