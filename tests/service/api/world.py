"""Two gyms with people in them, and clients that are signed in as each."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any

from fastapi import FastAPI
from fastapi.testclient import TestClient

from models.document import Document
from models.prescription import parse_prescription
from service.access.browser import cookie
from service.access.keys import make_key
from service.access.sessions import start
from service.api.app import create_app, furnish
from service.api.state import Parts
from service.jobs.dbos_queue import prepare
from service.plans import what
from service.records import Clip, Gym, Person, Prescription, PrescriptionVersion, new_id
from service.records.keeping import keep_measurement
from service.records.migrate import upgrade
from service.settings import Settings
from service.store import ClipFiles
from tests.by_hand import push_ups

HERE = "http://127.0.0.1:8080"
PLAN = 'movement = "push-up"\nsets = 1\nreps = 3\ntempo = "3-0-1-0"\n'


_SPARE: dict[str, list[FastAPI]] = defaultdict(list)
"""Apps that are not in use, by the settings that routes and middleware are made with."""


@dataclass
class GymWorld:
    """A gym and its people by role."""

    id: str
    owner: Person
    coach: Person
    athlete: Person
    other_athlete: Person


def make_empty(data: Path) -> None:
    """A data folder with the tables made, to be copied: making them takes longer than most tests."""
    settings = Settings(data=data)
    upgrade(settings.database_url)
    prepare(settings)


class World:
    """The app with a real database, store and queue in a folder, and what the tests put into it."""

    def __init__(self, data: Path, **settings: Any) -> None:
        self.settings = Settings(data=data, **settings)
        self._spare = _SPARE[repr(sorted({**settings, "database": None}.items()))]
        self.app = self._app()
        self.parts: Parts = self.app.state.parts
        self.home = self._gym("Northside")
        self.away = self._gym("Southside")

    def _app(self) -> FastAPI:
        """An app that an earlier world is done with, or a new one: putting its routes together takes longer than most tests."""
        if not self._spare:
            return create_app(self.settings)
        app = self._spare.pop()
        furnish(app, self.settings)
        return app

    def _gym(self, name: str) -> GymWorld:
        with self.parts.database.session() as records:
            gym = Gym(id=f"{name.lower():-<22}", name=name)  # fixed, because blind draws hang on it
            records.add(gym)
            records.flush()
            people = {
                role: Person(
                    gym_id=gym.id,
                    role=role.removeprefix("other_"),
                    name=f"{role} of {name}",
                    login=None if "athlete" in role else f"{role}@{name.lower()}",
                )
                for role in ("owner", "coach", "athlete", "other_athlete")
            }
            records.add_all(people.values())
        return GymWorld(gym.id, **people)

    def client(self, person: Person | None = None) -> TestClient:
        """A browser, signed in as a person."""
        client = TestClient(self.app, HERE, headers={"Origin": HERE}, raise_server_exceptions=False)
        if person is not None:
            with self.parts.database.session() as records:
                entered = start(records, self.settings, person)
            client.cookies.set(cookie(self.settings)["key"], entered.token)
        return client

    def program(self, gym: GymWorld, *scopes: str) -> TestClient:
        """A program with a key."""
        with self.parts.database.session() as records:
            _, text = make_key(records, gym.id, "planner", scopes)
        return TestClient(self.app, HERE, headers={"Authorization": f"Bearer {text}"}, raise_server_exceptions=False)

    def prescription(self, athlete: Person, text: str = PLAN) -> PrescriptionVersion:
        """What an athlete is to do."""
        with self.parts.database.session() as records:
            plan = parse_prescription(text.encode(), "plan")
            row = Prescription(gym_id=athlete.gym_id, athlete_id=athlete.id, movement=plan.movement)
            row.versions.append(PrescriptionVersion(gym_id=athlete.gym_id, n=1, text=text, variant=what(plan)))
            records.add(row)
        return row.versions[0]

    def clip(self, athlete: Person, *, filmed: datetime | None = None, content: bytes = b"a clip") -> Clip:
        """A clip that has come and waits, with a file that no decoder has seen."""
        with self.parts.database.session() as records:
            clip = Clip(
                id=new_id(),
                gym_id=athlete.gym_id,
                athlete_id=athlete.id,
                source_sha256=new_id(),
                sha256=new_id(),
                bytes=len(content),
                container="mp4",
                seconds=15.0,
                filmed=filmed,
            )
            records.add(clip)
        with NamedTemporaryFile() as file:
            file.write(content)
            file.flush()
            self.parts.store.put(ClipFiles(clip.id).clip("mp4"), Path(file.name))
        return clip

    def measured(
        self,
        athlete: Person,
        document: Document | None = None,
        *,
        version: PrescriptionVersion | None = None,
        filmed: datetime | None = None,
    ) -> Clip:
        """A clip that was measured: three push-ups, the last of them missed, unless another document is given."""
        clip = self.clip(athlete, filmed=filmed)
        with self.parts.database.session() as records:
            keep_measurement(records, clip, version, document or push_ups())
            records.get_one(Clip, clip.id).state = "measured"
        return clip

    def close(self) -> None:
        """End the app as a server does."""
        with TestClient(self.app, HERE):
            pass
        self._spare.append(self.app)
