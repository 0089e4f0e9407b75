"""The folder in which the processes of one `plumbrep serve` count together. Imports nothing that counts: that reads this first."""

import os
import shutil
from typing import Final

from service.settings import Settings

VARIABLE: Final = "PROMETHEUS_MULTIPROC_DIR"
"""Read by prometheus_client when it is imported."""


def count_together(settings: Settings) -> None:
    """Let this process and its children count in one folder, from nothing; call it before anything that counts is imported."""
    folder = settings.data / "metrics"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True, mode=0o700)
    os.environ[VARIABLE] = str(folder)


def shared() -> bool:
    """Whether this process counts together with others."""
    return VARIABLE in os.environ
