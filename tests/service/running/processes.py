"""The service as an operator runs it: processes, settings in the environment, a log."""

import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx

from tests.service.conftest import ROOT

CLI = (sys.executable, "-m", "service.cli")
PASSWORD = "seven quiet otters juggle"  # noqa: S105 -- of nobody


@dataclass(frozen=True)
class Service:
    """A running `plumbrep serve`."""

    process: "subprocess.Popen[str]"
    url: str
    log: Path
    settings: Mapping[str, str]

    def lines(self) -> list[dict[str, Any]]:
        """What it has logged."""
        return [json.loads(line) for line in self.log.read_text().splitlines()]

    @property
    def port(self) -> int:
        """Where it listens on this machine, which its public address does not say."""
        return int(next(line["port"] for line in self.lines() if line["event"] == "listening"))

    def workers(self) -> list[int]:
        """Processes of the workers that it has started and that are alive."""
        return [
            child for child in children(self.process.pid) if re.search(r"running\.work|quick\.py\0work", command(child))
        ]

    def stop(self, number: int = signal.SIGTERM) -> float:
        """Tell it to stop, and wait until it has; the seconds that it took."""
        begun = time.monotonic()
        self.process.send_signal(number)
        self.process.wait(60)
        return time.monotonic() - begun


@contextmanager
def running(data: Path, *, quick: Path | None = None, **settings: object) -> Iterator[Service]:
    """Run it on a free port; with `quick`, a folder with a document in it, nothing is really measured."""
    told = environment(data, port=0, **settings)
    program = CLI if quick is None else (sys.executable, "tests/service/running/quick.py")
    arguments = ["serve"] if quick is None else ["serve", str(quick)]
    log = data.with_name(f"{data.name}.log")
    with log.open("a") as written:
        process = subprocess.Popen(
            [*program, *arguments], cwd=ROOT, env=told, stdout=subprocess.PIPE, stderr=written, text=True
        )
    assert process.stdout is not None
    try:
        said = process.stdout.readline()
        assert said.startswith("plumbrep answers at "), log.read_text()
        yield Service(process, said.split()[-1], log, told)
    finally:
        left = [process.pid, *children(process.pid)]
        if process.poll() is None:
            process.terminate()
            try:
                process.wait(60)
            except subprocess.TimeoutExpired:
                for pid in left:
                    os.kill(pid, signal.SIGKILL)
        process.stdout.close()


def environment(data: Path, **settings: object) -> dict[str, str]:
    """The environment with these settings and no others."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PLUMBREP_")}
    told = {f"PLUMBREP_{name.upper()}": str(value) for name, value in {"data": data, **settings}.items()}
    return kept | told | {"PYTHONPATH": str(ROOT)}


def plumbrep(told: Mapping[str, str], *arguments: str, said: str = "") -> "subprocess.CompletedProcess[str]":
    """Run a command with an environment, and say something to it."""
    return subprocess.run(
        [*CLI, *arguments], env=told, input=said, capture_output=True, text=True, check=False, timeout=120
    )


def until(done: Callable[[], object], seconds: float = 60) -> None:
    """Wait."""
    deadline = time.monotonic() + seconds
    while not done():
        assert time.monotonic() < deadline, f"not after {seconds} s"
        time.sleep(0.1)


def browser(url: str, **more: Any) -> httpx.Client:
    """A browser's requests, which say where they come from."""
    return httpx.Client(base_url=url, headers={"Origin": url}, timeout=120, **more)


def children(pid: int) -> list[int]:
    """Living processes that a process has started, whichever of its threads did."""
    try:
        told = [path.read_text() for path in Path(f"/proc/{pid}/task").glob("*/children")]
    except OSError:  # it has just ended
        return []
    return [int(child) for each in told for child in each.split()]


def command(pid: int) -> str:
    """A process's command line, its words ending with NUL."""
    try:
        return Path(f"/proc/{pid}/cmdline").read_text()
    except OSError:
        return ""


def alive(pid: int) -> bool:
    """Whether a process runs; one that has ended and was not yet waited for does not."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False
