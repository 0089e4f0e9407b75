"""Sending what was announced to the webhooks: signed, again and again for a day, by any number of processes at once.

A message is claimed by moving its next try into the future, in one statement that only one process can win; a process that dies
while sending leaves it to be tried again. So each message comes at least once, in no promised order, under one identifier.
"""

import random
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from threading import Event

import structlog
from sqlalchemy import delete, exists, func, select, update
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.orm import Session

from models.errors import BadInput
from service.hooks.address import read_url, resolve
from service.hooks.post import NotConnectedError, NotSentError, post
from service.hooks.signature import sign
from service.records.base import now
from service.records.database import Database
from service.records.running import Delivery, Webhook
from service.settings import Settings

ANSWER_SECONDS = 15.0
LEASE = timedelta(minutes=5)
"""How long a claimed message is left alone: longer than a whole round can take, with every name and every answer slow."""
FIRST_WAIT, LONGEST_WAIT = timedelta(seconds=30), timedelta(hours=4)
GIVE_UP = timedelta(days=1)
KEPT = timedelta(days=30)
"""How long a message that is over is kept to be looked at."""
AT_ONCE, PER_HOOK, ROUND = 8, 4, 32
"""Sent at the same time; of one webhook in one round, so that a slow one holds nobody else up; in one round."""
IDLE_SECONDS = 2.0
ADDRESSES = 2
"""How many of a name's addresses are tried."""

log = structlog.get_logger()
_dice = random.SystemRandom()


@dataclass(frozen=True)
class Claimed:
    """A message that this process may send now."""

    id: str
    event: str
    body: str
    tries: int
    made: datetime
    webhook_id: str
    url: str
    secret: str = field(repr=False)


@dataclass(frozen=True)
class Outcome:
    """What became of one try: the status that was answered, or why there was none."""

    answer: int | None
    error: str | None
    seconds: float

    @property
    def done(self) -> bool:
        """Any 2xx; a redirect is not followed and counts as a failure."""
        return self.answer is not None and 200 <= self.answer < 300


def run(database: Database, settings: Settings, stop: Event) -> None:
    """Send what is due until told to stop; for a thread of its own."""
    while not stop.is_set():
        try:
            sent = deliver_due(database, settings, stop)
        except SQLAlchemyError:
            log.exception("deliveries could not be read or kept; trying again")
            sent = 0
        if not sent:
            stop.wait(IDLE_SECONDS)


def deliver_due(database: Database, settings: Settings, stop: Event | None = None) -> int:
    """Send one round of what is due; once told to stop, leave the rest of it as it was.

    Returns:
        How many tries were made; 0 where nothing is due, or the settings say that no webhook is called.
    """
    if not settings.webhooks:
        return 0
    with database.session() as session:
        claimed = _claim(session)
    if claimed:
        with ThreadPoolExecutor(AT_ONCE) as pool:
            list(pool.map(lambda message: _deliver(database, settings, message, stop), claimed))
    return len(claimed)


def _claim(session: Session) -> list[Claimed]:
    """Take what is due for this process, and tidy up what is over."""
    moment = now()
    if not session.scalar(select(exists().where(Delivery.state == "due", Delivery.due <= moment))):
        return []
    session.execute(delete(Delivery).where(Delivery.state != "due", Delivery.made < moment - KEPT))
    session.execute(
        update(Delivery)
        .where(Delivery.state == "due", Delivery.due <= moment, Delivery.made < moment - GIVE_UP)
        .values(state="given up")
    )
    place = func.row_number().over(partition_by=Delivery.webhook_id, order_by=Delivery.due)
    ready = (
        select(Delivery.id, Delivery.due, place.label("place"))
        .where(Delivery.state == "due", Delivery.due <= moment)
        .subquery()
    )
    found = session.execute(
        select(Delivery, Webhook)
        .join(ready, ready.c.id == Delivery.id)
        .join(Webhook, Webhook.id == Delivery.webhook_id)
        .where(ready.c.place <= PER_HOOK, Webhook.active)
        .order_by(ready.c.due)
        .limit(ROUND)
    ).all()
    return [_claimed(delivery, hook) for delivery, hook in found if _won(session, delivery, moment)]


def _won(session: Session, delivery: Delivery, moment: datetime) -> bool:
    """Whether this process, and no other, has moved the message's next try."""
    return (
        session.scalar(
            update(Delivery)
            .where(
                Delivery.id == delivery.id,
                Delivery.state == "due",
                Delivery.tries == delivery.tries,
                Delivery.due <= moment,
            )
            .values(due=moment + LEASE, tries=Delivery.tries + 1)
            .returning(Delivery.id)
            .execution_options(synchronize_session=False)
        )
        is not None
    )


def _claimed(delivery: Delivery, hook: Webhook) -> Claimed:
    return Claimed(
        delivery.id, delivery.event, delivery.body, delivery.tries + 1, delivery.made, hook.id, hook.url, hook.secret
    )


def _deliver(database: Database, settings: Settings, message: Claimed, stop: Event | None) -> None:
    if stop is not None and stop.is_set():
        with database.session() as session:
            _leave(session, message)
        return
    outcome = _send(settings, message)
    log.info(
        "webhook called", delivery=message.id, webhook=message.webhook_id, tries=message.tries, answer=outcome.answer,
        error=outcome.error, seconds=round(outcome.seconds, 3),
    )  # fmt: skip
    with database.session() as session:
        _note(session, message, outcome)


def _leave(session: Session, message: Claimed) -> None:
    """Give a claimed message back untried."""
    session.execute(
        update(Delivery)
        .where(Delivery.id == message.id, Delivery.state == "due", Delivery.tries == message.tries)
        .values(due=now(), tries=message.tries - 1)
    )


def _send(settings: Settings, message: Claimed) -> Outcome:
    """Send it once, to the first of the name's addresses that can be connected to."""
    begun = time.monotonic()
    answer, error = None, None
    try:
        target = read_url(message.url, settings)
        for address in resolve(target, settings)[:ADDRESSES]:
            try:
                answer, error = post(target, address, message.body.encode(), _headers(message), ANSWER_SECONDS), None
                break
            except NotConnectedError as reason:
                error = str(reason)
    except (NotSentError, BadInput) as reason:
        error = str(reason)
    except OSError:
        error = "the name is not known"
    if answer is not None and 300 <= answer < 400:
        error = "redirects are not followed"
    return Outcome(answer, error and error[:200], time.monotonic() - begun)


def _headers(message: Claimed) -> dict[str, str]:
    moment = int(time.time())
    return {
        "Content-Type": "application/json",
        "User-Agent": "plumbrep",
        "Plumbrep-Delivery": message.id,
        "Plumbrep-Event": message.event,
        "Plumbrep-Time": str(moment),
        "Plumbrep-Signature": sign(message.secret, moment, message.body.encode()),
    }


def _note(session: Session, message: Claimed, outcome: Outcome) -> None:
    """Keep what became of a try, and when the next one is due."""
    delivery = session.get(Delivery, message.id)
    if delivery is None or delivery.state != "due" or delivery.tries != message.tries:
        return  # deleted meanwhile, or the lease ran out and another process has it
    moment = now()
    delivery.answer, delivery.error = outcome.answer, outcome.error
    tried = {
        "at": moment.isoformat(),
        "answer": outcome.answer,
        "error": outcome.error,
        "seconds": round(outcome.seconds, 3),
    }
    delivery.log = [*delivery.log, tried]
    delivery.due = moment + wait_after(message.tries)
    if outcome.done:
        delivery.state = "done"
    elif delivery.due > message.made + GIVE_UP:
        delivery.state = "given up"


def wait_after(tries: int) -> timedelta:
    """How long to wait after so many tries: twice as long each time, and never all at the same moment."""
    usual = min(FIRST_WAIT * 2 ** min(tries - 1, 20), LONGEST_WAIT)
    return usual * _dice.uniform(0.75, 1.25)
