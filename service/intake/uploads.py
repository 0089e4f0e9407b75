"""Files of uploads: how much of a clip has come is the size of its file, and stands nowhere else.

So a process may die at any moment: whoever asks next is told what the disk holds, and goes on from there. A file is written
by one request at a time, from its very end, never beyond the length that was announced.
"""

import fcntl
import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from shutil import disk_usage
from typing import Final

from service.settings import Settings

SPARE: Final = 512 * 2**20
"""Bytes of the disk that uploads leave free: the database lies there too."""


class BusyError(Exception):
    """Another request is writing to this upload."""


class TooLongError(Exception):
    """More is sent than was announced."""


@dataclass
class Writer:
    """The end of an upload's file, while this request alone may write to it."""

    handle: int
    start: int
    length: int
    _sum: "hashlib._Hash" = field(default_factory=hashlib.sha256)

    @property
    def size(self) -> int:
        """Bytes that have come."""
        return os.fstat(self.handle).st_size

    def write(self, piece: bytes) -> None:
        """Write on.

        Raises:
            TooLongError: more came than was announced; nothing of this piece is written.
        """
        if self.size + len(piece) > self.length:
            raise TooLongError
        view = memoryview(piece)
        while view:
            view = view[os.write(self.handle, view) :]
        self._sum.update(piece)

    def sha256(self) -> bytes:
        """Of what this request has written."""
        return self._sum.digest()

    def take_back(self) -> None:
        """Forget what this request has written."""
        os.ftruncate(self.handle, self.start)


class UploadFiles:
    """The files of uploads on this machine."""

    def __init__(self, settings: Settings) -> None:
        self.folder = settings.data / "uploads"

    def path(self, upload_id: str) -> Path:
        """Where an upload's file lies."""
        return self.folder / f"{upload_id}.part"

    def sensor(self, upload_id: str) -> Path:
        """Where the sensor track lies that came along, if one did."""
        return self.folder / f"{upload_id}.sensor"

    def has_room(self, length: int) -> bool:
        """Whether the disk has room for so many bytes more."""
        self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        return disk_usage(self.folder).free - length > SPARE

    def begin(self, upload_id: str) -> None:
        """Make the file, empty, so that it outlives a loss of power."""
        self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        os.close(os.open(self.path(upload_id), os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        folder = os.open(self.folder, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)

    def size(self, upload_id: str) -> int | None:
        """Bytes that have come; None where there is no file, because it became a clip or was deleted."""
        try:
            return self.path(upload_id).stat().st_size
        except FileNotFoundError:
            return None

    @contextmanager
    def alone(self, upload_id: str, length: int) -> Iterator[Writer]:
        """Have the file for oneself; what was written is on the disk when the block ends, however it ends.

        Raises:
            BusyError: another request has it, in this process or another.
            FileNotFoundError: there is no file.
        """
        handle = os.open(self.path(upload_id), os.O_WRONLY | os.O_APPEND)
        try:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError as fault:
                raise BusyError from fault
            writer = Writer(handle, os.fstat(handle).st_size, length)
            try:
                yield writer
            finally:
                os.fsync(handle)
        finally:
            os.close(handle)  # ends the lock too

    def remove(self, upload_id: str) -> None:
        """Delete the file and the sensor track, if they are there."""
        self.sensor(upload_id).unlink(missing_ok=True)
        self.path(upload_id).unlink(missing_ok=True)
