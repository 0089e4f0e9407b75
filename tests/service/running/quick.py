"""The service with everything real but the measuring: `quick.py serve READY`, `quick.py work READY`, `quick.py measure READY FOLDER`.

The last stands in for `service.jobs.child` and takes no time: what it gives is ready-made. Where a clip's movement is said,
it is measured as ever.
"""

import hashlib
import json
import os
import shutil
import sys
import time
from pathlib import Path
from threading import Thread

HERE = str(Path(__file__).resolve())
SECONDS = 0.3
"""Long enough for a killer to find some of them at work."""


def serve(ready: str) -> None:
    from service.running.shared import count_together
    from service.settings import Settings

    settings = Settings()
    count_together(settings)
    from service.running.serve import serve

    serve(settings, lambda url: print(f"plumbrep answers at {url}", flush=True), (sys.executable, HERE, "work", ready))


def work(ready: str) -> None:
    from service.running.work import end_with_parent, work
    from service.settings import Settings

    end_with_parent()
    work(Settings(), (sys.executable, "-S", HERE, "measure", ready))


def measure(ready: str, folder: str) -> None:
    order = json.loads(Path(folder, "order.json").read_text())
    if order["movement"] is not None:
        os.execv(sys.executable, [sys.executable, "-m", "service.jobs.child", folder])  # noqa: S606
    Thread(target=_end_with_parent, daemon=True).start()
    with Path(ready, "log.txt").open("a") as log:
        log.write(f"{hashlib.sha256(Path(folder, 'clip').read_bytes()).hexdigest()} {os.getpid()}\n")
    time.sleep(SECONDS)
    for name in ("proxy.mp4", "series.npz"):
        Path(folder, name).write_text(name)
    shutil.copy(Path(ready, "document.json"), Path(folder, "document.json"))


def _end_with_parent() -> None:
    os.read(0, 1)
    os._exit(1)


if __name__ == "__main__":
    globals()[sys.argv[1]](*sys.argv[2:])
