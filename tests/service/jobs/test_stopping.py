"""A worker is told to stop at any moment, also while its main thread is inside the lock of what it waits for."""

import os
import signal
from threading import Event

from service.jobs.worker import _signals


def test_a_signal_inside_the_events_lock_does_not_hang() -> None:
    asked = Event()
    with _signals(asked.set):
        with asked._cond:  # type: ignore[attr-defined]  # where `wait` is for an instant of each round
            os.kill(os.getpid(), signal.SIGTERM)
        assert asked.wait(10)
