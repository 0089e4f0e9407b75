"""The two forms of the service, as processes: all on one machine, and a server and workers that share no folder."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from service.settings import Settings
from tests.service.conftest import ROOT
from tests.service.running.processes import Service, environment, running
from tests.service.running.quick import HERE

USUAL: dict[str, Any] = {"silent_seconds": 3, "log_level": "debug"}


@dataclass
class Machine:
    """A worker on a machine of its own, and whoever there starts it anew when it has died."""

    told: dict[str, str]
    ready: Path
    log: Path
    process: "subprocess.Popen[bytes] | None" = None

    def tend(self) -> int:
        """See that it runs; its process."""
        if self.process is None or self.process.poll() is not None:
            self.end()
            with self.log.open("a") as log:
                self.process = subprocess.Popen(
                    [sys.executable, HERE, "work", str(self.ready)],
                    cwd=ROOT, env=self.told, stdin=subprocess.PIPE, stderr=log,
                )  # fmt: skip
        return self.process.pid

    def end(self) -> None:
        """Stop it."""
        if self.process is not None and self.process.stdin is not None:
            self.process.stdin.close()
            self.process.wait(30)


@dataclass
class Form:
    """The service in one of its forms."""

    service: Service
    settings: Settings
    machines: list[Machine]

    def workers(self) -> list[int]:
        """Processes of workers that live."""
        return [machine.tend() for machine in self.machines] or self.service.workers()

    def logs(self) -> str:
        """What all of it has logged."""
        return "".join(log.read_text() for log in (self.service.log, *(machine.log for machine in self.machines)))

    def stop(self) -> None:
        """Stop all of it."""
        self.service.stop()
        for machine in self.machines:
            machine.end()


@contextmanager
def one_machine(folder: Path, ready: Path) -> Iterator[Form]:
    """SQLite, a folder, and workers that the server starts."""
    with running(folder / "data", quick=ready, workers=2, **USUAL) as service:
        yield Form(service, Settings(data=folder / "data"), [])


@contextmanager
def many_machines(folder: Path, ready: Path, **shared: Any) -> Iterator[Form]:
    """A database and a store somewhere, a server, and two workers elsewhere."""
    told = USUAL | shared
    with running(folder / "server", quick=ready, workers=0, **told) as service, ExitStack() as stack:
        machines = [
            Machine(environment(folder / name, **told), ready, folder / f"{name}.log") for name in ("left", "right")
        ]
        for machine in machines:
            stack.callback(machine.end)
            machine.tend()
        yield Form(service, Settings(data=folder / "server", **told), machines)
