"""A child process that may take so much time and memory and no more; whatever it does, its parent lives on."""

import json
import os
import signal
import subprocess
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Thread
from time import monotonic
from typing import IO, Final

from service.crashes import TAIL, last_line

LOOK: Final = 0.2
"""Seconds between two looks at the child."""


@dataclass(frozen=True)
class Limits:
    """What a child may take."""

    seconds: float
    memory_mb: int


@dataclass(frozen=True)
class Told:
    """How far a child says that it is."""

    stage: str
    share: float


class Refused(Exception):
    """What the child was given cannot be used; the message is for whoever gave it."""


class Overrun(Exception):
    """The child took more than it may."""


class Crashed(Exception):
    """The child ended as it should not: a fault of ours, or of the machine."""


def run_contained(command: Sequence[str], folder: Path, limits: Limits, watch: Callable[[Told | None], None]) -> None:
    """Run a command in a folder, which it is given as its last argument, until it ends.

    The child tells on standard output how far it is, a JSON object a line: `{"stage": ..., "share": 0..1}`, and
    `{"refused": ...}` before it ends with status 2. Its standard input ends when this process does: it must end then too.

    Args:
        command: The program and its arguments.
        folder: Where it works; what it writes to standard error is kept there in `errors.txt`.
        limits: What it may take; memory is what is resident, looked at a few times a second.
        watch: Called as often with what was told last. What it raises ends the child.

    Raises:
        Refused: the child says that what it was given cannot be used.
        Overrun: it took more time or memory than it may.
        Crashed: it ended in any other way but well.
    """
    errors = folder / "errors.txt"
    with errors.open("wb") as written:
        child = subprocess.Popen(
            [*command, str(folder)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=written,
            start_new_session=True,  # so that a key pressed for the parent does not end it, and all of it can be ended
        )
    assert child.stdout is not None
    heard = _Heard(child.stdout)
    try:
        _wait(child, limits, lambda: watch(heard.told))
    finally:
        _end(child)
        heard.finish()
    if child.returncode == 2 and heard.refused is not None:
        raise Refused(heard.refused)
    if child.returncode:
        said = last_line(_end_of(errors))
        raise Crashed(f"{_ending(child.returncode)}: {said}" if said else _ending(child.returncode))


def _wait(child: "subprocess.Popen[bytes]", limits: Limits, look: Callable[[], None]) -> None:
    deadline = monotonic() + limits.seconds
    while True:
        with suppress(subprocess.TimeoutExpired):
            child.wait(LOOK)
            return
        if monotonic() > deadline:
            raise Overrun(f"it takes longer than {limits.seconds:g} s")
        if _resident_mb(child.pid) > limits.memory_mb:
            raise Overrun(f"it needs more than {limits.memory_mb} MB of memory")
        look()


def _end(child: "subprocess.Popen[bytes]") -> None:
    """End the child and whatever it started."""
    with suppress(
        ProcessLookupError, PermissionError
    ):  # macOS says the latter of a group of which only the dead are left
        os.killpg(child.pid, signal.SIGKILL)
    child.wait()
    if child.stdin is not None:
        child.stdin.close()


class _Heard:
    """Reads what the child tells, so that its pipe never fills."""

    def __init__(self, pipe: IO[bytes]) -> None:
        self.told: Told | None = None
        self.refused: str | None = None
        self._pipe = pipe
        self._reader = Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        for line in self._pipe:
            with suppress(ValueError, KeyError, TypeError):  # a library that prints is no reason to fail
                said = json.loads(line)
                if "refused" in said:
                    self.refused = str(said["refused"])
                else:
                    self.told = Told(str(said["stage"]), float(said["share"]))

    def finish(self) -> None:
        """Read to the end; somebody else may still hold the pipe, and is not waited for."""
        self._reader.join(timeout=5)
        if not self._reader.is_alive():
            self._pipe.close()


def _resident_mb(pid: int) -> float:
    """Memory of a process that is in use; 0 if it has just ended."""
    try:
        pages = Path(f"/proc/{pid}/statm").read_text(encoding="ascii").split()[1]
    except FileNotFoundError:
        return _resident_by_ps(pid)
    except (ProcessLookupError, IndexError):
        return 0.0
    return int(pages) * os.sysconf("SC_PAGE_SIZE") / 2**20


def _resident_by_ps(pid: int) -> float:
    """The same where there is no /proc."""
    said = subprocess.run(["ps", "-o", "rss=", "-p", str(pid)], capture_output=True, text=True, check=False).stdout  # noqa: S607
    return float(said.strip() or 0) / 1024


def _ending(status: int) -> str:
    if status < 0:
        return f"the process was ended by {signal.Signals(-status).name}"
    return f"the process ended with status {status}"


def _end_of(errors: Path) -> bytes:
    with errors.open("rb") as file:
        file.seek(max(0, errors.stat().st_size - TAIL))
        return file.read()
