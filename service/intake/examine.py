"""Have a clip looked into by a process that a hostile file may crash, and that is told no secrets."""

import subprocess
import sys
from pathlib import Path
from typing import Final

import structlog

from models.errors import ClipError
from service.crashes import last_line
from service.intake.facts import Answer, Facts, Limits
from service.settings import Settings

PATIENCE: Final = 90.0
"""Seconds; the process limits its own processor time to less, and this is for one that hangs."""

_log = structlog.get_logger(__name__)


def examine(source: Path, to: Path, settings: Settings) -> Facts:
    """Check a clip, write the copy that is kept to `to`, and tell what is known of it.

    Raises:
        ClipError: the clip cannot be kept; nothing is left at `to`.
    """
    largest = settings.clip_max_mb * 2**20
    if (size := source.stat().st_size) > largest:
        raise ClipError(f"The clip has {size / 2**20:.0f} MB; cut it to one set, at most {settings.clip_max_mb} MB.")
    limits = Limits(seconds=settings.clip_max_seconds, pixels=settings.clip_max_pixels, bytes=largest)
    try:
        answer = _ask(source, to, limits)
    except ClipError:
        to.unlink(missing_ok=True)
        raise
    if answer.facts is None:
        to.unlink(missing_ok=True)
        raise ClipError(answer.refused)
    return answer.facts


def _ask(source: Path, to: Path, limits: Limits) -> Answer:
    command = [sys.executable, "-I", "-m", "service.intake.look", str(source), str(to), limits.model_dump_json()]
    try:
        done = subprocess.run(
            command,
            cwd=to.parent,
            env={"OPENBLAS_NUM_THREADS": "1"},  # no settings, and with them no keys
            stdin=subprocess.DEVNULL,
            capture_output=True,
            check=True,
            timeout=PATIENCE,
        )
    except subprocess.TimeoutExpired as fault:
        raise ClipError("Looking into the clip's file takes too long; send it as the phone saved it.") from fault
    except subprocess.CalledProcessError as fault:
        # A crash in a library for decoding is what hostile files are made for, and the sender's to mend.
        _log.warning(
            "clip crashed its examination",
            status=fault.returncode,
            error=last_line(fault.stderr),
        )
        raise ClipError("The clip's file cannot be looked into; send it as the phone saved it.") from fault
    return Answer.model_validate_json(done.stdout)
