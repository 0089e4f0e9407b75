"""The artefact store: whole files under keys, written once."""

import mmap
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import Final
from uuid import uuid4

import obstore
from obstore.exceptions import AlreadyExistsError, BaseError
from obstore.store import LocalStore, ObjectStore

from service.store.keys import checked

CHUNK: Final = 1 << 20
"""Bytes handed on at a time."""


class StoreError(Exception):
    """The store cannot be reached, or refuses."""


class Missing(StoreError):
    """Nothing lies under that key."""


class Exists(StoreError):
    """Something lies under that key already."""


class Store:
    """Whole files under keys. A file appears complete or not at all, and is never written over.

    Every method raises ValueError for what is no key, and StoreError when the store cannot be reached.
    """

    def __init__(self, objects: ObjectStore) -> None:
        self._objects = objects

    def put(self, key: str, source: Path) -> None:
        """Keep a copy of a local file.

        Raises:
            Exists: something lies there already; it stays as it is.
        """
        with source.open("rb") as file, _translated(key):
            # Refusing to overwrite is atomic only where the file goes in one piece; mapped, it is not held in memory.
            if os.fstat(file.fileno()).st_size:
                with mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as content:
                    obstore.put(self._objects, checked(key), content, mode="create", use_multipart=False)
            else:
                obstore.put(self._objects, checked(key), b"", mode="create")
        self._settle(key)

    def size(self, key: str) -> int:
        """Bytes of the file.

        Raises:
            Missing: there is none.
        """
        with _translated(key):
            return obstore.head(self._objects, checked(key))["size"]

    def get_range(self, key: str, start: int, length: int) -> bytes:
        """Up to `length` bytes from byte `start` on; fewer, or none, where the file ends before.

        Raises:
            Missing: there is no such file.
        """
        end = min(start + length, self.size(key))
        if end <= start:
            return b""
        with _translated(key):
            return bytes(obstore.get_range(self._objects, checked(key), start=start, end=end))

    def stream(self, key: str, start: int = 0, end: int | None = None) -> Iterator[bytes]:
        """The bytes from `start` up to, not including, `end` (None: the file's end), piece by piece.

        Raises:
            Missing: there is no such file; raised before the first piece is asked for.
        """
        size = self.size(key)
        return self._pieces(key, start, size if end is None else min(end, size))

    def fetch(self, key: str, to: Path) -> None:
        """Copy to a local file, because decoders need one that they can seek in; complete or not there.

        Raises:
            Missing: there is no such file.
        """
        part = to.with_name(f".{to.name}.{uuid4().hex}.part")
        try:
            with part.open("xb") as file:
                file.writelines(self.stream(key))
            part.replace(to)
        finally:
            part.unlink(missing_ok=True)

    def delete(self, prefix: str) -> int:
        """Delete the file of that key and all under it as a folder; how many there were. None is no error."""
        keys = list(self.list(prefix))
        with _translated(prefix):
            for key in keys:
                try:
                    obstore.delete(self._objects, key)
                except FileNotFoundError:
                    continue  # somebody else deleted it meanwhile
        return len(keys)

    def list(self, prefix: str) -> Iterator[str]:
        """The key itself, if a file lies there, and the keys of all files under it as a folder, in no order."""
        yield from (key for key, _ in self.written(prefix))

    def written(self, prefix: str) -> Iterator[tuple[str, datetime]]:
        """As `list`, with when each file was written."""
        with _translated(prefix):
            with suppress(FileNotFoundError):
                found = obstore.head(self._objects, checked(prefix))
                yield found["path"], found["last_modified"]
            for page in obstore.list(self._objects, prefix=prefix):
                yield from ((each["path"], each["last_modified"]) for each in page)

    def _pieces(self, key: str, start: int, end: int) -> Iterator[bytes]:
        if start >= end:
            return
        with _translated(key):
            found = obstore.get(self._objects, checked(key), options={"range": (start, end)})
            for piece in found.stream(min_chunk_size=CHUNK):
                yield bytes(piece)

    def _settle(self, key: str) -> None:
        """On a local folder, wait until the disk has the file: what it was copied from may be deleted next."""
        if isinstance(self._objects, LocalStore) and self._objects.prefix:
            place = self._objects.prefix / key
            for path in (place, *(place.parents[n] for n in range(key.count("/") + 1))):
                _sync(path)


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def _translated(key: str) -> Iterator[None]:
    try:
        yield
    except FileNotFoundError as fault:
        raise Missing(f"the store holds no {key}") from fault
    except AlreadyExistsError as fault:
        raise Exists(f"the store holds {key} already") from fault
    except BaseError as fault:
        raise StoreError(f"the store failed at {key}: {str(fault).splitlines()[0]}") from fault
