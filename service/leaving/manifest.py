"""What a backup is: a folder with the records as a SQLite file, the clips' files under their keys, and a list of both."""

import hashlib
from datetime import datetime
from pathlib import Path
from typing import Final, Literal

from pydantic import BaseModel, ConfigDict, ValidationError

from models.errors import BadInput
from service.store.keys import checked

VERSION: Final = "plumbrep.backup/1"
RECORDS: Final = "records.db"
LIST: Final = "backup.json"
"""Written last: a folder without it is no backup."""
PART: Final = ".part"
"""How the name of a folder ends in which a backup is being made."""


class BackupError(BadInput):
    """A backup cannot be made here, or this is none that can be restored."""


class Kept(BaseModel):
    """One file of a backup."""

    model_config = ConfigDict(frozen=True)

    sha256: str
    bytes: int


class Manifest(BaseModel):
    """The list of a backup's files, by their names in it."""

    model_config = ConfigDict(frozen=True)

    document: Literal["plumbrep.backup/1"] = "plumbrep.backup/1"
    made: datetime
    records: Kept
    files: dict[str, Kept]
    """Clips' files by their keys in the store."""


def describe(path: Path) -> Kept:
    """The file's checksum and size."""
    with path.open("rb") as file:
        return Kept(sha256=hashlib.file_digest(file, "sha256").hexdigest(), bytes=path.stat().st_size)


def read_backup(source: Path) -> Manifest:
    """The list of a backup, every file of which is there and as it was.

    Raises:
        BackupError: it is no backup, or not whole.
    """
    try:
        manifest = Manifest.model_validate_json((source / LIST).read_bytes())
    except (OSError, ValidationError) as fault:
        raise BackupError(f"{source} is no backup of plumbrep: it holds no {LIST} that can be read") from fault
    for name, kept in {RECORDS: manifest.records, **manifest.files}.items():
        if name != RECORDS:
            _require_key(source, name)
        _require_same(source, name, kept)
    return manifest


def _require_key(source: Path, name: str) -> None:
    try:
        checked(name)
    except ValueError as fault:
        raise BackupError(f"{source} is no backup that plumbrep made: {fault}") from fault


def _require_same(source: Path, name: str, kept: Kept) -> None:
    try:
        same = describe(source / name) == kept
    except OSError as fault:
        raise BackupError(f"the backup {source} is not whole: {name} cannot be read; take another one") from fault
    if not same:
        raise BackupError(f"the backup {source} is damaged: {name} is not as it was; take another one")
