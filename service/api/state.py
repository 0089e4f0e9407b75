"""What the routes work with: the settings, the database, the store, the queue. Hung on the app when it is made."""

from dataclasses import dataclass, field
from threading import Event

from fastapi import Request

from service.jobs.port import JobQueue
from service.records.database import Database
from service.settings import Settings
from service.store import Store


@dataclass(frozen=True)
class Parts:
    """What one app is made of."""

    settings: Settings
    database: Database
    store: Store
    queue: JobQueue
    stopping: Event = field(default_factory=Event)
    """Set when the process was told to stop: answers without an end then end."""


def parts_of(request: Request) -> Parts:
    """The parts of the app that answers this request."""
    parts: Parts = request.app.state.parts
    return parts
