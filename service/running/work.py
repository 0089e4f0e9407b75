"""One worker as a process: `plumbrep work`, and the child of `plumbrep serve`, `python -m service.running.work`."""

import os
import signal
from threading import Thread
from typing import Final

from prometheus_client import start_http_server

from service.jobs.measure import COMMAND
from service.jobs.worker import run_worker
from service.running.logs import log_as_json
from service.running.slots import own_name
from service.settings import Settings

HERE: Final = "127.0.0.1"


def work(settings: Settings, command: tuple[str, ...] = COMMAND) -> None:
    """Measure clips until told to stop (SIGTERM, SIGINT).

    Args:
        settings: Of the service.
        command: The child process that measures one clip.
    """
    with own_name(settings) as name:
        log_as_json(settings.log_level, worker=name)
        if settings.metrics_port:
            start_http_server(settings.metrics_port, HERE)
        run_worker(settings, name, command=command)


def end_with_parent() -> None:
    """Stop when whoever started this process is gone, even if it was killed: standard input ends with it."""

    def wait() -> None:
        while os.read(0, 1024):
            pass
        os.kill(os.getpid(), signal.SIGTERM)

    Thread(target=wait, daemon=True).start()


if __name__ == "__main__":
    end_with_parent()
    work(Settings())
