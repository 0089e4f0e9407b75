"""`plumbrep work`, and the names of workers."""

import os
import signal
import socket
import subprocess
from contextlib import ExitStack
from pathlib import Path

import httpx
import pytest

from service.running.slots import own_name
from service.settings import Settings
from tests.service.api.world import make_empty
from tests.service.running.processes import CLI, environment, plumbrep, until


def test_each_worker_has_a_name_and_gets_it_again(tmp_path: Path) -> None:
    settings = Settings(data=tmp_path)
    with ExitStack() as stack:
        first, second = (stack.enter_context(own_name(settings)) for _ in range(2))
    assert first != second
    with own_name(settings) as again, own_name(settings) as other:
        assert [again, other] == [first, second]


def test_another_folder_gives_other_names(tmp_path: Path) -> None:
    """As on another machine of the same host name."""
    with own_name(Settings(data=tmp_path / "a")) as here, own_name(Settings(data=tmp_path / "b")) as there:
        assert here != there


def test_a_name_is_free_when_its_process_was_killed(tmp_path: Path) -> None:
    settings = Settings(data=tmp_path)
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        with own_name(settings) as name:
            os.write(writing, name.encode())
            signal.pause()
    held = os.read(reading, 100).decode()
    with own_name(settings) as other:
        assert other != held
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with own_name(settings) as name:
        assert name == held
    os.close(reading)
    os.close(writing)


def test_it_tells_its_metrics_to_this_machine_and_stops_when_told(tmp_path: Path) -> None:
    (tmp_path / "data").mkdir()
    make_empty(tmp_path / "data")
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
    log = tmp_path / "log"
    with log.open("w") as written:
        worker = subprocess.Popen([*CLI, "work"], env=environment(tmp_path / "data", metrics_port=port), stderr=written)
    try:
        until(lambda: "worker started" in log.read_text())
        assert "plumbrep_stage_seconds" in httpx.get(f"http://127.0.0.1:{port}/metrics").text
    finally:
        worker.terminate()
    assert worker.wait(30) == 0


@pytest.mark.parametrize("command", ["work", "tidy"])
def test_without_tables_it_says_what_to_do(tmp_path: Path, command: str) -> None:
    (tmp_path / "data").mkdir()
    done = plumbrep(environment(tmp_path / "data"), command)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "start `plumbrep serve` once, which makes its tables" in done.stderr
