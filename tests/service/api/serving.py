"""The app behind a real server, in a process of its own that can be killed."""

import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[3]


@dataclass
class Server:
    """A running server."""

    process: subprocess.Popen[str]
    url: str

    def kill(self) -> None:
        """As a loss of power would end it."""
        self.process.kill()
        self.process.wait()


@contextmanager
def serving(data: Path) -> Iterator[Server]:
    """Serve a data folder on a free port."""
    environment = {**os.environ, "PLUMBREP_DATA": str(data), "PYTHONPATH": str(ROOT)}
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.service.api.serving"],
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    with process.stdout as said:
        try:
            yield Server(process, f"http://127.0.0.1:{said.readline().strip()}")
        finally:
            process.kill()
            process.wait()


def main() -> None:
    """Serve what the environment names, and say on which port."""
    import uvicorn

    from service.api.app import create_app
    from service.settings import Settings

    app = create_app(Settings())
    with socket.create_server(("127.0.0.1", 0)) as listening:
        print(listening.getsockname()[1], flush=True)
        uvicorn.Server(uvicorn.Config(app, log_level="warning")).run(sockets=[listening])


if __name__ == "__main__":
    main()
