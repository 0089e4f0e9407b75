"""Names of workers: each has its own, and has it again after it was started anew, so that it resumes what it left.

A name is a file of this data folder that the worker keeps locked; the system lets go of the lock however the worker ends.
"""

import fcntl
import os
import re
import secrets
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path

from service.settings import Settings


@contextmanager
def own_name(settings: Settings) -> Iterator[str]:
    """The first free name of this data folder, for as long as the block lasts."""
    folder = settings.data / "workers"
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    handle, name = next(taken for n in count(1) if (taken := _taken(folder / f"{n}.name", n)))
    try:
        yield name
    finally:
        os.close(handle)  # ends the lock too


def _taken(path: Path, n: int) -> tuple[int, str] | None:
    """The locked file and the name that it holds; None: another worker has it."""
    handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        os.close(handle)
        return None
    name = os.pread(handle, 80, 0).decode("ascii", errors="replace")
    if not name:
        # The random part: machines that were copied from one another have the same host name.
        host = re.sub(r"[^a-z0-9]+", "-", socket.gethostname().lower())[:40]
        name = f"{host}-{n}-{secrets.token_hex(4)}"
        os.pwrite(handle, name.encode("ascii"), 0)
    return handle, name
