"""How often something may be tried or done in a stretch of time.

Counted in the database and not in memory: several processes serve one gym, and a restart must not forget what was tried. One
row per thing counted, raised in one statement, so that tries at the same moment cannot slip past each other.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from ipaddress import IPv6Address, IPv6Network, ip_address

from sqlalchemy import case, delete, select, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from service.access.errors import TooManyTries
from service.access.tokens import digest
from service.records.base import now
from service.records.database import Database
from service.records.entrance import Tally

V6_NETWORK = 64
"""Bits of an IPv6 address that one household or one attacker has for themselves."""
KEPT = timedelta(days=1)
"""The longest window; older rows count nothing."""


@dataclass(frozen=True)
class Limit:
    """At most `most` in `window`, counted from the first."""

    most: int
    window: timedelta


def count(session: Session, what: str, limit: Limit) -> int:
    """Count one more of something.

    Returns:
        Seconds to wait, where this one is more than the limit allows; 0 where it is not.
    """
    moment = now()
    over = Tally.since <= moment - limit.window
    insert = postgresql.insert if session.get_bind().dialect.name == "postgresql" else sqlite.insert
    n, since = session.execute(
        insert(Tally)
        .values(digest=digest(what), since=moment, n=1)
        .on_conflict_do_update(
            index_elements=[Tally.digest],
            set_={"n": case((over, 1), else_=Tally.n + 1), "since": case((over, moment), else_=Tally.since)},
        )
        .returning(Tally.n, Tally.since)
    ).one()
    if n <= limit.most:
        return 0
    return max(1, round((since + limit.window - moment).total_seconds()))


@contextmanager
def one_try(database: Database, what: str, limit: Limit) -> Iterator[None]:
    """Count a try, which what happens inside fails by raising; one that does not is counted no more, nor those before it.

    Raises:
        TooManyTries: this one is more than the limit allows.
    """
    with database.session() as session:
        wait = count(session, what, limit)
    if wait:
        raise TooManyTries(wait)
    yield
    with database.session() as session:
        forget(session, what)


def left(session: Session, what: str, limit: Limit) -> int:
    """How many more are allowed now."""
    done = session.scalar(select(Tally.n).where(Tally.digest == digest(what), Tally.since > now() - limit.window))
    return max(0, limit.most - (done or 0))


def give_back(session: Session, what: str) -> None:
    """Count one less of something."""
    session.execute(update(Tally).where(Tally.digest == digest(what), Tally.n > 0).values(n=Tally.n - 1))


def forget(session: Session, what: str) -> None:
    """Count from nothing again."""
    session.execute(delete(Tally).where(Tally.digest == digest(what)))


def forget_old(session: Session) -> None:
    """Drop the rows that no longer count."""
    session.execute(delete(Tally).where(Tally.since < now() - KEPT))


def neighbourhood(address: str) -> str:
    """What is counted as one address: an IPv4 address, an IPv6 network, or the text itself where it is neither."""
    try:
        found = ip_address(address)
    except ValueError:
        return address
    if isinstance(found, IPv6Address):
        if found.ipv4_mapped:
            return str(found.ipv4_mapped)
        return str(IPv6Network((found.packed, V6_NETWORK), strict=False))
    return str(found)
