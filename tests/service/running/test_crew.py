"""Processes that are kept at work: started anew when they die, later each time, and stopped whether they like it or not."""

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, Thread

import pytest

from service.running import crew
from service.running.crew import keep_working
from tests.service.running.processes import alive, until


@contextmanager
def crew_of(n: int, folder: Path, program: str) -> Iterator[Path]:
    """Keep processes at work that write a line into a file, and then do what is said."""
    starts = folder / "starts"
    starts.touch()
    script = folder / "worker.py"
    script.write_text(
        f"import os, signal, sys, time\nopen({str(starts)!r}, 'a').write(f'{{os.getpid()}} {{time.time()}}\\n')\n{program}\n"
    )
    stop = Event()
    keeper = Thread(target=keep_working, args=(n, stop, (sys.executable, "-S", str(script))))
    keeper.start()
    try:
        yield starts
    finally:
        stop.set()
        keeper.join()


def lines(starts: Path) -> list[tuple[int, float]]:
    return [(int(pid), float(at)) for pid, at in (line.split() for line in starts.read_text().splitlines())]


def test_what_dies_is_started_anew_later_each_time(tmp_path: Path) -> None:
    with crew_of(1, tmp_path, "sys.exit(1)") as starts:
        until(lambda: len(lines(starts)) == 3)
    first, second, third = (at for _, at in lines(starts))
    assert 0.9 < second - first < third - second


def test_what_lives_is_left_alone_and_stops_when_told(tmp_path: Path) -> None:
    program = "signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))\nwhile True: time.sleep(0.1)"
    with crew_of(2, tmp_path, program) as starts:
        until(lambda: len(lines(starts)) == 2)
        time.sleep(1)
        begun = time.monotonic()
    assert time.monotonic() - begun < 10
    assert len(lines(starts)) == 2
    assert not any(alive(pid) for pid, _ in lines(starts))


def test_what_does_not_stop_is_killed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crew, "PATIENCE", 0.5)
    program = (
        "signal.signal(signal.SIGTERM, signal.SIG_IGN)\nopen(sys.argv[0] + '.deaf', 'w')\nwhile True: time.sleep(0.1)"
    )
    with crew_of(1, tmp_path, program) as starts:
        until((tmp_path / "worker.py.deaf").exists)
    ((pid, _),) = lines(starts)
    assert not alive(pid)
