"""Put by a copy of everything, while the service runs.

The records are those of one moment. Files are written once and never changed, so that copying them takes no lock; what
is deleted while they are copied is missing from the copy, as if it had been deleted before.
"""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import make_url, select

from service.leaving.copying import copy_out
from service.leaving.manifest import LIST, PART, RECORDS, BackupError, Kept, Manifest, describe
from service.output import writing
from service.records import Clip, now
from service.records.database import Database
from service.records.migrate import require_current
from service.settings import Settings
from service.store import ClipFiles, Missing, Store, open_store


def backup(settings: Settings, to: Path) -> Manifest:
    """Copy records and clips into a new folder, which appears when it is complete.

    Raises:
        BackupError: there is something at `to` already, or nothing to put by.
        OutputError: the folder cannot be written.
        SchemaError: the database is of another version of the program.
        StoreError: the store cannot be reached.
    """
    _require_records(settings)
    if to.exists():
        raise BackupError(f"{to} is there already; name a folder that is not")
    made = now()
    with writing(to), _growing(to) as part:
        copy_out(settings.database_url, part / RECORDS)
        files = _copy_files(open_store(settings), part)
        manifest = Manifest(made=made, records=describe(part / RECORDS), files=files)
        (part / LIST).write_text(manifest.model_dump_json(indent=1), encoding="utf-8")
        os.sync()  # a power cut must not leave a list of files that were never written
    return manifest


def _require_records(settings: Settings) -> None:
    url = make_url(settings.database_url)
    if url.get_backend_name() == "sqlite" and not Path(url.database or "").is_file():
        raise BackupError(f"there is no database {url.database}: nothing to back up; check the setting PLUMBREP_DATA")
    require_current(settings.database_url)


@contextmanager
def _growing(to: Path) -> Iterator[Path]:
    """A folder beside `to` that takes its place when the block ends well, and is gone when it does not."""
    part = to.with_name(to.name + PART)
    part.mkdir(parents=True, mode=0o700)
    try:
        yield part
        part.rename(to)
    finally:
        shutil.rmtree(part, ignore_errors=True)


def _copy_files(store: Store, part: Path) -> dict[str, Kept]:
    """Copy the files of all clips that the copied records know."""
    files: dict[str, Kept] = {}
    for clip_id in _clips(part / RECORDS):
        for key in store.list(ClipFiles(clip_id).folder):
            (part / key).parent.mkdir(parents=True, exist_ok=True)
            try:
                store.fetch(key, part / key)
            except Missing:
                continue  # deleted since
            files[key] = describe(part / key)
    return files


def _clips(records: Path) -> list[str]:
    database = Database(f"sqlite:///{records}")
    try:
        with database.session() as session:
            return list(session.scalars(select(Clip.id).where(Clip.files_gone.is_(None))))
    finally:
        database.engine.dispose()
