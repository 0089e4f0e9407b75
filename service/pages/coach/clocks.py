"""Days and times as a coach reads them: on the gym's clock, 24 hours."""

from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from service.access.actors import Actor
from service.pages.text import say
from service.records import Gym


class Clock:
    """A gym's clock."""

    def __init__(self, records: Session, actor: Actor) -> None:
        self.zone = ZoneInfo(records.get_one(Gym, actor.gym_id).time_zone)

    def day(self, moment: datetime) -> str:
        """`26 Nov 2026`."""
        local = moment.astimezone(self.zone)
        return say("coach.clock.day", day=local.day, month=say(f"coach.clock.month.{local.month}"), year=local.year)

    def time(self, moment: datetime) -> str:
        """`26 Nov 2026, 18:05`."""
        return say("coach.clock.time", day=self.day(moment), time=f"{moment.astimezone(self.zone):%H:%M}")
