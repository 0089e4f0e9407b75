"""The machine that times were taken on."""

import os
import platform
from pathlib import Path

from models.quantity import Frozen


class Machine(Frozen):
    processor: str
    cores: int
    """That this process may use."""
    memory_GiB: float  # noqa: N815 - the unit is written so
    system: str
    python: str


def this() -> Machine:
    return Machine(
        processor=_named("/proc/cpuinfo", "model name") or platform.processor() or platform.machine(),
        cores=len(cores()),
        memory_GiB=round(os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30, 1),
        system=f"{platform.system()} {platform.release().partition('-')[0]}",
        python=platform.python_version(),
    )


def cores() -> list[int]:
    """Numbers of the cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return sorted(os.sched_getaffinity(0))
    return list(range(os.cpu_count() or 1))


def _named(path: str, key: str) -> str | None:
    file = Path(path)
    lines = file.read_text(encoding="utf-8").splitlines() if file.exists() else []
    return next((line.partition(":")[2].strip() for line in lines if line.startswith(key)), None)
