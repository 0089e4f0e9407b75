"""A worker beside the site: the real queue and a real worker process, whose child gives what is ready-made.

`working.py work READY` is the worker, `working.py measure READY FOLDER` the child that stands in for `service.jobs.child`.
"""

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread

ROOT = Path(__file__).parents[2]
HERE = str(Path(__file__).resolve())
STAGES = (("making a copy to look at", 0.2), ("following the athlete", 0.4), ("following the athlete", 0.9))
SECONDS = "seconds.txt"
"""In the folder of what is ready-made: how long measuring takes."""


@contextmanager
def working(data: Path, ready: Path, seconds: float = 0.2) -> Iterator[None]:
    """Let a worker measure what comes into a data folder."""
    (ready / SECONDS).write_text(str(seconds))
    environment = {**os.environ, "PLUMBREP_DATA": str(data), "PYTHONPATH": str(ROOT)}
    worker = subprocess.Popen([sys.executable, HERE, "work", str(ready)], env=environment, cwd=ROOT)
    try:
        yield
    finally:
        worker.terminate()
        try:
            worker.wait(60)
        finally:
            worker.kill()  # whatever went wrong, it must not outlive its test
            worker.wait()


def work(ready: str) -> None:
    """Be the worker."""
    from service.jobs.worker import run_worker
    from service.settings import Settings

    run_worker(Settings(), "beside", command=(sys.executable, HERE, "measure", ready), poll_seconds=0.1)


def measure(ready: str, folder: str) -> None:
    """Be the child: tell of the stages, and give what is ready."""
    Thread(target=_end_with_parent, daemon=True).start()
    for stage, share in STAGES:
        print(json.dumps({"stage": stage, "share": share}), flush=True)
        time.sleep(float(Path(ready, SECONDS).read_text()) / len(STAGES))
    for name in ("proxy.mp4", "series.npz", "document.json"):
        shutil.copy(Path(ready, name), Path(folder, name))


def _end_with_parent() -> None:
    os.read(0, 1)
    os._exit(1)


if __name__ == "__main__":
    globals()[sys.argv[1]](*sys.argv[2:])
