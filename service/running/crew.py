"""The workers beside the server: processes that are started anew when they die, and stopped with it."""

import subprocess
import sys
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from threading import Event
from time import monotonic
from typing import Final

import structlog

WORKER: Final = (sys.executable, "-m", "service.running.work")
LOOK: Final = 0.25
"""Seconds between two looks at them."""
SETTLED: Final = 10.0
"""A worker that has lived so long, in seconds, was started well."""
FIRST_PAUSE, LONGEST_PAUSE = 0.5, 30.0
"""Seconds before one that died is started anew; twice as long each time while they die young."""
PATIENCE: Final = 15.0
"""Seconds that workers have to stop, which gives a running job the six that `service.jobs.worker` grants."""

log = structlog.get_logger(__name__)


@dataclass
class _Place:
    """Where one worker works."""

    process: "subprocess.Popen[bytes] | None" = None
    started: float = 0.0
    pause: float = FIRST_PAUSE
    due: float = field(default_factory=monotonic)
    """When the next is started, where there is none."""


def keep_working(n: int, stop: Event, command: Sequence[str] = WORKER) -> None:
    """Keep `n` workers at work until `stop` is set, then stop them; none is left when this returns."""
    places = [_Place() for _ in range(n)]
    try:
        while not stop.wait(LOOK):
            for place in places:
                _look_after(place, command)
    finally:
        _stop([place.process for place in places if place.process is not None])


def _look_after(place: _Place, command: Sequence[str]) -> None:
    if place.process is None:
        if monotonic() >= place.due:
            place.started = monotonic()
            place.process = _start(command)
    elif place.process.poll() is not None:
        lived = monotonic() - place.started
        place.pause = FIRST_PAUSE if lived > SETTLED else min(2 * place.pause, LONGEST_PAUSE)
        place.due = monotonic() + place.pause
        log.warning(
            "worker ended", status=place.process.returncode, lived_seconds=round(lived, 1), again_in=place.pause
        )
        _let_go(place.process)
        place.process = None


def _start(command: Sequence[str]) -> "subprocess.Popen[bytes]":
    """A session of its own, so that Ctrl-C reaches the server alone, which then stops its workers in order."""
    return subprocess.Popen(command, stdin=subprocess.PIPE, start_new_session=True)


def _stop(processes: "list[subprocess.Popen[bytes]]") -> None:
    for process in processes:
        process.terminate()
    until = monotonic() + PATIENCE
    for process in processes:
        with suppress(subprocess.TimeoutExpired):
            process.wait(max(0.0, until - monotonic()))
        if process.poll() is None:
            log.error("worker does not stop, killed")
            process.kill()
            process.wait()
        _let_go(process)


def _let_go(process: "subprocess.Popen[bytes]") -> None:
    if process.stdin is not None:
        process.stdin.close()
