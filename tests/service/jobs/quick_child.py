"""A child process that measures nothing, quickly: the clip's text says how it behaves; the document is ready-made.

It stands in for `service.jobs.child` where tests kill workers and children by the dozen: `quick_child.py READY FOLDER`.
"""

import ctypes
import json
import os
import shutil
import signal
import sys
import time
from pathlib import Path
from threading import Thread


def main() -> int:
    ready, folder = Path(sys.argv[1]), Path(sys.argv[2])
    order = json.loads((folder / "order.json").read_text())
    name, behaviour, *arguments = (folder / "clip").read_text().split()
    with (ready / "log.txt").open("a") as log:
        log.write(f"{name} {os.getpid()}\n")
    print("a library says hello")
    tell({"stage": "making a copy to look at", "share": 0.25})
    (folder / "proxy.mp4").write_text(f"proxy of {name}")
    tell({"stage": "following the athlete", "share": 0.5})
    if behaviour == "refuse":
        tell({"refused": "no person is seen in this clip; film the whole body"})
        return 2
    if not behaviour.endswith("-once") or first(ready / f"{name}.once"):
        globals()[behaviour.removesuffix("-once")](*arguments)
    (folder / "series.npz").write_text(f"series of {name}, {order['height_cm']} cm")
    shutil.copy(ready / "document.json", folder / "document.json")
    return 0


def sleep(seconds: str = "0") -> None:
    time.sleep(float(seconds))


def kill_worker() -> None:
    os.kill(os.getppid(), signal.SIGKILL)
    time.sleep(60)  # the end of standard input ends this, or else the test finds it alive


def segfault() -> None:
    ctypes.string_at(0)


def fail() -> None:
    raise RuntimeError("a fault of ours")


def memory() -> None:
    held = []
    while True:
        held.append(bytes(1) * 2**22)
        time.sleep(0.002)


def forever() -> None:
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    while True:
        pass


def tell(words: dict[str, object]) -> None:
    print(json.dumps(words), flush=True)


def first(mark: Path) -> bool:
    try:
        mark.touch(exist_ok=False)
    except FileExistsError:
        return False
    return True


def end_with_parent() -> None:
    os.read(0, 1)
    os._exit(1)


if __name__ == "__main__":
    Thread(target=end_with_parent, daemon=True).start()
    sys.exit(main())
