"""Whether the process lives, and whether it could serve: for whoever starts, watches and balances processes."""

from collections.abc import Callable
from queue import Empty, SimpleQueue
from threading import Thread
from time import monotonic
from typing import Final

import structlog
from fastapi import APIRouter, Response
from sqlalchemy import text

from service.api.deps import Parts
from service.api.state import Parts as AppParts
from service.store.keys import ROOT

health = APIRouter(prefix="/health", include_in_schema=False)

PATIENCE: Final = 3.0
"""Seconds after which a part that has not answered counts as failing."""

log = structlog.get_logger(__name__)


@health.get("/live")
async def live() -> dict[str, bool]:
    """The process answers."""
    return {"live": True}


@health.get("/ready")
def ready(parts: Parts, response: Response) -> dict[str, bool]:
    """Which of database, store and queue answer; 503 where one does not."""
    found = look(parts)
    response.status_code = 200 if all(found.values()) else 503
    return found


def look(parts: AppParts) -> dict[str, bool]:
    """Ask every part, all at once; those that take too long are left to themselves."""

    def database() -> None:
        with parts.database.engine.connect() as connection:
            connection.execute(text("SELECT id FROM gym LIMIT 1"))

    def store() -> None:
        next(parts.store.list(f"{ROOT}/none"), None)  # lists a folder that is never there

    def queue() -> None:
        parts.queue.depth()

    asked = {ask.__name__: ask for ask in (database, store, queue)}
    answered: SimpleQueue[tuple[str, bool]] = SimpleQueue()
    for name, ask in asked.items():
        Thread(target=_ask, args=(name, ask, answered), daemon=True).start()
    found, until = dict.fromkeys(asked, False), monotonic() + PATIENCE
    try:
        for _ in asked:
            name, well = answered.get(timeout=max(0.0, until - monotonic()))
            found[name] = well
    except Empty:
        log.warning("not ready in time", answered=sorted(name for name, well in found.items() if well))
    return found


def _ask(name: str, ask: Callable[[], None], answered: "SimpleQueue[tuple[str, bool]]") -> None:
    try:
        ask()
    except Exception:  # whatever it is, the part cannot be used
        log.warning("not ready", part=name, exc_info=True)
        answered.put((name, False))
    else:
        answered.put((name, True))
