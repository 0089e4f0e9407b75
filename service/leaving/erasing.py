"""Deleted rows must not stay in the database's files.

On SQLite freed pages are overwritten (`secure_delete`, set with every connection), but the write-ahead log holds the old
pages until it is emptied. On PostgreSQL vacuuming does it, which runs by itself.
"""

import sqlite3
from contextlib import closing
from typing import Final

from sqlalchemy import make_url

from service.settings import Settings

PATIENCE: Final = 2.0
"""Seconds to wait for readers; where they take longer, tidying does it later."""


def erase_freed_pages(settings: Settings) -> bool:
    """Empty the write-ahead log; whether it is empty, or there is none."""
    url = make_url(settings.database_url)
    if url.get_backend_name() != "sqlite" or not url.database:
        return True
    with closing(sqlite3.connect(url.database, timeout=PATIENCE)) as connection:
        busy, _, _ = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    return not busy
