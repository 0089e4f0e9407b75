"""What has had its time goes: clips by their gym's rule, uploads that stopped, old backups, old entries."""

import shutil
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Final

from sqlalchemy import ColumnElement, CursorResult, delete, or_, select
from sqlalchemy.orm import Session

from service.intake.uploads import UploadFiles
from service.leaving.manifest import PART
from service.records import Answered, Beat, Clip, Delivery, Link, Tally, Upload
from service.records import Session as SignedIn
from service.settings import Settings
from service.store import ClipFiles, Store
from service.store.keys import ROOT
from service.store.places import backups, scratches

DAY: Final = timedelta(days=1)
"""How long a browser may ask again with the same idempotency key, and after which what a crash left is nobody's."""
MONTH: Final = timedelta(days=30)
"""How long it can be seen what became of a message, and which links there were."""
EXPIRED: Final = "The clip's time was over before it was measured; send it again."


@dataclass(frozen=True)
class Tidied:
    """How much went."""

    clips: int
    """Whose files went; their numbers stay."""
    uploads: int
    backups: int
    rows: int
    """Sessions, links, answers, messages, counts, signs of life."""
    strays: int
    """Files that a crash had left."""


def tidy(session: Session, store: Store, settings: Settings, now: datetime) -> Tidied:
    """Let go what has had its time at `now`; running it again, or after it was interrupted, does no harm.

    Raises:
        StoreError: the store failed; the caller's transaction must not be committed then.
    """
    return Tidied(
        clips=_expire_clips(session, store, now),
        uploads=_expire_uploads(session, settings, now),
        backups=_expire_backups(settings, now),
        rows=_expire_rows(session, now),
        strays=_drop_stray_clips(session, store, now) + _drop_stray_files(session, settings, now),
    )


def _expire_clips(session: Session, store: Store, now: datetime) -> int:
    expired = session.scalars(select(Clip).where(Clip.expires <= now, Clip.files_gone.is_(None))).all()
    for clip in expired:
        store.delete(ClipFiles(clip.id).folder)
        clip.files_gone = now
        if clip.state in {"waiting", "measuring"}:
            clip.state, clip.reason = "refused", EXPIRED
    return len(expired)


def _expire_uploads(session: Session, settings: Settings, now: datetime) -> int:
    ids = session.scalars(delete(Upload).where(Upload.expires <= now).returning(Upload.id)).all()
    for upload in ids:
        UploadFiles(settings).remove(upload)
    return len(ids)


def _expire_backups(settings: Settings, now: datetime) -> int:
    """Backups hold what was deleted since they were made, and must not outlive their time."""

    def kept(path: Path) -> timedelta:
        return DAY if path.name.endswith(PART) else timedelta(days=settings.keep_backups_days)

    old = [path for path in _entries(backups(settings)) if _written(path) <= now - kept(path)]
    for path in old:
        _remove(path)
    return len(old)


def _expire_rows(session: Session, now: datetime) -> int:
    old: list[tuple[type[Any], ColumnElement[bool]]] = [
        (SignedIn, or_(SignedIn.expires <= now, SignedIn.ended <= now - DAY)),
        (Link, or_(Link.expires <= now - MONTH, Link.revoked <= now - MONTH)),
        (Answered, Answered.made <= now - DAY),
        (Delivery, (Delivery.state != "due") & (Delivery.made <= now - MONTH)),
        (Tally, Tally.since <= now - 2 * DAY),
        (Beat, Beat.seen <= now - DAY),
    ]
    return sum(_delete(session, table, where) for table, where in old)


def _delete(session: Session, table: type[Any], where: ColumnElement[bool]) -> int:
    done = session.execute(delete(table).where(where), execution_options={"synchronize_session": False})
    assert isinstance(done, CursorResult)
    return done.rowcount


def _drop_stray_clips(session: Session, store: Store, now: datetime) -> int:
    """Files of clips that have no row: deleted, or never committed.

    Beside a database without a single clip they stay: the settings may name another's store.
    """
    kept = set(session.scalars(select(Clip.id).where(Clip.files_gone.is_(None))))
    if not kept:
        return 0
    strays = [key for key, written in store.written(ROOT) if key.split("/")[1] not in kept and written <= now - DAY]
    return sum(store.delete(key) for key in strays)


def _drop_stray_files(session: Session, settings: Settings, now: datetime) -> int:
    known = set(session.scalars(select(Upload.id)))
    strays = [path for path in _entries(UploadFiles(settings).folder) if path.stem not in known]
    old = [path for path in [*strays, *_entries(scratches(settings))] if _written(path) <= now - DAY]
    for path in old:
        _remove(path)
    return len(old)


def _entries(folder: Path) -> list[Path]:
    return list(folder.iterdir()) if folder.is_dir() else []


def _written(path: Path) -> datetime:
    return datetime.fromtimestamp(path.stat().st_mtime, UTC)


def _remove(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)
