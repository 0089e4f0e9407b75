"""Bring a backup back: into an empty data folder, or over records that are there.

What was deleted, revoked or withdrawn since the backup was made stays so where the records that are replaced still tell.
Nothing is changed before the whole backup has been read and found sound; the records appear in one transaction.
"""

import shutil
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from service.leaving.copying import copy_in
from service.leaving.erasing import erase_freed_pages
from service.leaving.manifest import RECORDS, BackupError, Manifest, read_backup
from service.leaving.since import Since, as_of_now, read_since
from service.records import Beat, Clip, Gym, now
from service.records.database import Database, engine
from service.records.migrate import upgrade
from service.settings import Settings
from service.store import ClipFiles, Exists, Store, open_store
from service.store.places import scratch


@dataclass(frozen=True)
class Restored:
    """What came back."""

    clips: int
    files: int
    deleted_again: int
    """Clips and people that were deleted since the backup was made."""


def restore(settings: Settings, source: Path, *, over: bool = False) -> Restored:
    """Bring the backup in the folder `source` back. The service must not run meanwhile.

    Args:
        settings: Where to.
        source: The backup; it stays as it is.
        over: Replace what is there.

    Raises:
        BackupError: it is no sound backup, the service runs, or something is there and `over` was not said.
        SchemaError: the backup, or what is there, is of a newer program.
        StoreError: the store cannot be reached.
    """
    manifest = read_backup(source)
    settings.data.mkdir(parents=True, exist_ok=True, mode=0o700)
    upgrade(settings.database_url)
    since = _require_free(settings, over=over)
    with scratch(settings) as folder:
        work = folder / RECORDS
        shutil.copyfile(source / RECORDS, work)
        upgrade(f"sqlite:///{work}")
        deleted_again, clips = _prepare(work, manifest, since)
        files = [key for key in manifest.files if key.split("/")[1] in clips]
        _put(open_store(settings), manifest, source, files, over=over)
        copy_in(work, settings.database_url)
    _forget_jobs(settings)
    erase_freed_pages(settings)
    return Restored(len(clips), len(files), deleted_again)


def _require_free(settings: Settings, *, over: bool) -> Since:
    """What the records that are there tell of the time since; refuse to replace them unasked, or while they are in use."""
    database = Database(settings.database_url)
    try:
        with database.session() as session:
            alive = now() - timedelta(seconds=settings.silent_seconds)
            if session.scalar(select(func.count()).select_from(Beat).where(Beat.seen > alive)):
                raise BackupError("plumbrep is running: stop it, then restore")
            if not over and session.scalar(select(func.count()).select_from(Gym)):
                raise BackupError(
                    "the database holds records: restore into an empty one, or say --over to replace them"
                )
            return read_since(session)
    finally:
        database.engine.dispose()


def _prepare(work: Path, manifest: Manifest, since: Since) -> tuple[int, set[str]]:
    """Bring copied records up to now; how many things were deleted again, and the clips that have files."""
    database = Database(f"sqlite:///{work}")
    try:
        with database.session() as session:
            deleted_again = as_of_now(session, since)
            return deleted_again, _clips_with_files(session, manifest)
    finally:
        database.engine.dispose()


def _clips_with_files(session: Session, manifest: Manifest) -> set[str]:
    """Clips that the backup has the file of; of the others, which were deleted while it was made, that it is gone is said."""
    found = set()
    for clip in session.scalars(select(Clip).where(Clip.files_gone.is_(None))):
        if ClipFiles(clip.id).clip(clip.container) in manifest.files:
            found.add(clip.id)
        else:
            clip.files_gone = now()
    return found


def _put(store: Store, manifest: Manifest, source: Path, keys: list[str], *, over: bool) -> None:
    """Bring files back; what is there already and the same stays."""
    for key in keys:
        try:
            store.put(key, source / key)
        except Exists:
            if _same(store, key, source, manifest):
                continue
            if not over:
                raise BackupError(f"the store holds another {key}: restore into an empty one, or say --over") from None
            store.delete(key)
            store.put(key, source / key)


def _same(store: Store, key: str, source: Path, manifest: Manifest) -> bool:
    if store.size(key) != manifest.files[key].bytes:
        return False
    with (source / key).open("rb") as file:
        return all(file.read(len(piece)) == piece for piece in store.stream(key))


def _forget_jobs(settings: Settings) -> None:
    """Jobs are of the records that were replaced; the watchdog submits those of clips that wait."""
    from service.jobs.dbos_queue import SCHEMA, queue_url  # late, because it loads the queue's library

    made = engine(queue_url(settings.database_url))
    try:
        if made.dialect.name == "postgresql":
            with made.begin() as connection:
                connection.exec_driver_sql(f'DROP SCHEMA IF EXISTS "{SCHEMA}" CASCADE')
        elif made.url.database:
            for ending in ("", "-wal", "-shm"):
                Path(made.url.database + ending).unlink(missing_ok=True)
    finally:
        made.dispose()
