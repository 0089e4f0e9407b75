"""A gym with people in it, behind a real server: what the browser visits."""

import socket
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from threading import Thread

import uvicorn
from pyotp import TOTP
from sqlalchemy import select

from service.access import factors
from service.access.actors import Actor
from service.access.entrance import set_password
from service.access.invitations import invite
from service.access.links import make_link
from service.access.sessions import start
from service.api.routes.links import INVITATION_PAGE, LINK_PAGE
from service.records import Clip, Effort, Person, now
from tests.service.api.world import World

PASSWORD = "lamp river seven chalk"  # noqa: S105 -- of an invented person


class Site(World):
    """The world of the API's tests at an address of its own; see there how to put in prescriptions and measured clips."""

    def __init__(self, data: Path, port: int) -> None:
        super().__init__(data, port=port)
        self.url = self.settings.url

    def token(self, person: Person) -> str:
        """What stands in the cookie of a person's session."""
        with self.parts.database.session() as records:
            return start(records, self.settings, person).token

    def give_password(self, person: Person) -> None:
        """Let a coach or an owner sign in with `PASSWORD`."""
        with self.parts.database.session() as records:
            set_password(records, records.get_one(Person, person.id), PASSWORD)

    def give_factor(self, person: Person) -> TOTP:
        """Have a coach or an owner come with a code too; the one that confirms it is of the step before this one."""
        with self.parts.database.session() as records:
            secret = factors.begin(records, records.get_one(Person, person.id)).secret
            made = TOTP(secret)
            factors.confirm(records, person.id, made.at(now() - timedelta(seconds=factors.STEP)))
        return made

    def link(self, athlete: Person) -> str:
        """The address that lets an athlete in."""
        with self.parts.database.session() as records:
            _, token = make_link(records, self.settings, athlete, self._owner())
        return f"{self.url}{LINK_PAGE}#{token}"

    def invitation(self, coach: Person) -> str:
        """The address at which a coach sets a password."""
        with self.parts.database.session() as records:
            _, token = invite(records, coach, self._owner())
        return f"{self.url}{INVITATION_PAGE}#{token}"

    def clips(self, athlete: Person) -> list[Clip]:
        """An athlete's clips, as the service has them now."""
        with self.parts.database.session() as records:
            return list(records.scalars(select(Clip).where(Clip.athlete_id == athlete.id)))

    def efforts(self, clip: Clip) -> list[Effort]:
        """The reps and holds of a clip, in the order of time."""
        with self.parts.database.session() as records:
            return list(records.scalars(select(Effort).where(Effort.clip_id == clip.id).order_by(Effort.start)))

    def _owner(self) -> Actor:
        return Actor("owner", self.home.id, person_id=self.home.owner.id)


@contextmanager
def serving(data: Path) -> Iterator[Site]:
    """A site on a data folder, answering on a free port in a thread of this process."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        site = Site(data, listening.getsockname()[1])
        server = uvicorn.Server(uvicorn.Config(site.app, log_config=None, lifespan="off", timeout_graceful_shutdown=1))
        thread = Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        try:
            while not server.started:
                time.sleep(0.01)
            yield site
        finally:
            site.parts.stopping.set()
            server.should_exit = True
            thread.join()
            site.close()
