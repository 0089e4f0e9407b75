"""Once a day what has had its time goes. Several processes may do so at once."""

from datetime import timedelta
from threading import Event
from typing import Final

import structlog

from service.leaving.erasing import erase_freed_pages
from service.leaving.tidy import Tidied, tidy
from service.records import now
from service.records.database import Database
from service.settings import Settings
from service.store import Store

FIRST: Final = timedelta(minutes=5)
"""After the start: somebody who starts it again and again, to find a fault, is not held up."""
EVERY: Final = timedelta(days=1)

log = structlog.get_logger(__name__)


def tidy_daily(settings: Settings, database: Database, store: Store, stop: Event) -> None:
    """Tidy until told to stop; for a thread of its own."""
    wait = FIRST
    while not stop.wait(wait.total_seconds()):
        try:
            tidied = tidy_now(settings, database, store)
            log.info("tidied", clips=tidied.clips, uploads=tidied.uploads, backups=tidied.backups, strays=tidied.strays)
        except Exception:  # a database or a store out of reach: tomorrow is early enough
            log.exception("not tidied")
        wait = EVERY


def tidy_now(settings: Settings, database: Database, store: Store) -> Tidied:
    """Tidy once."""
    with database.session() as session:
        tidied = tidy(session, store, settings, now())
    erase_freed_pages(settings)
    return tidied
