"""ASVS 5.0, 6.5.2 and 7.2.2 to 7.2.3 (tokens), 7.3.1 and 7.3.2 (limits), 7.4.2 and 7.4.5 (ends)."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import select

from service.access import sessions
from service.access.sessions import Entered, actor_of_session
from service.access.tokens import digest
from service.records import Link, Person, Session, new_id, now
from service.records.database import Database
from service.settings import Settings
from tests.service.access.conftest import People

IDLE, HOURS = timedelta(minutes=120), timedelta(hours=12)


def enter(database: Database, settings: Settings, person_id: str, link: Link | None = None) -> Entered:
    with database.session() as session:
        return sessions.start(session, settings, session.get_one(Person, person_id), link)


def let_in(database: Database, settings: Settings, entered: Entered) -> bool:
    with database.session() as session:
        return actor_of_session(session, settings, entered.token) is not None


def row_of(database: Database, entered: Entered) -> Session:
    with database.session() as session:
        return session.get_one(Session, entered.actor.session_id)


def seen(database: Database, entered: Entered, moment: datetime) -> None:
    with database.session() as session:
        session.get_one(Session, entered.actor.session_id).last_seen = moment


def test_asvs_7_2_3_tokens_are_random_and_only_digests_are_kept(
    database: Database, settings: Settings, people: People
) -> None:
    entered = [enter(database, settings, people.coach) for _ in range(50)]
    assert len({e.token for e in entered}) == 50
    assert all(len(e.token) == 43 for e in entered)  # 256 bits in base64
    with database.session() as session:
        kept = {row.digest for row in session.scalars(select(Session))}
    assert kept == {digest(e.token) for e in entered}


def test_asvs_6_5_2_a_digest_that_leaked_opens_nothing(database: Database, settings: Settings, people: People) -> None:
    entered = enter(database, settings, people.coach)
    with database.session() as session:
        for token in (
            digest(entered.token),
            entered.token[:-1],
            entered.token + "=",
            "",
            "\ud800",
            entered.token.lower(),
        ):
            assert actor_of_session(session, settings, token) is None


def test_asvs_7_3_1_an_idle_session_ends(database: Database, settings: Settings, people: People) -> None:
    entered = enter(database, settings, people.coach)
    seen(database, entered, now() - IDLE + timedelta(seconds=30))
    assert let_in(database, settings, entered), "and is seen again"
    assert now() - row_of(database, entered).last_seen < timedelta(minutes=1)
    seen(database, entered, now() - IDLE)
    assert not let_in(database, settings, entered)


def test_being_seen_is_written_now_and_then(database: Database, settings: Settings, people: People) -> None:
    entered = enter(database, settings, people.coach)
    for ago, written in ((timedelta(minutes=5), False), (timedelta(minutes=7), True)):
        before = now() - ago
        seen(database, entered, before)
        assert let_in(database, settings, entered)
        assert (row_of(database, entered).last_seen > before) is written


def test_asvs_7_3_2_a_session_ends_however_busy(database: Database, settings: Settings, people: People) -> None:
    entered = enter(database, settings, people.coach)
    assert abs(entered.expires - now() - HOURS) < timedelta(seconds=10)
    with database.session() as session:
        session.get_one(Session, entered.actor.session_id).expires = now()
    assert not let_in(database, settings, entered)


def test_asvs_7_4_2_whoever_leaves_the_gym_is_out_at_once(
    database: Database, settings: Settings, people: People
) -> None:
    entered, other = enter(database, settings, people.coach), enter(database, settings, people.owner)
    with database.session() as session:
        session.get_one(Person, people.coach).ended = now()
    assert not let_in(database, settings, entered)
    assert let_in(database, settings, other)


def test_asvs_7_4_2_whoever_is_deleted_is_out_at_once(database: Database, settings: Settings, people: People) -> None:
    entered = enter(database, settings, people.coach)
    with database.session() as session:
        session.delete(session.get_one(Person, people.coach))
    assert not let_in(database, settings, entered)


def test_asvs_7_4_5_ending_one_and_ending_all(database: Database, settings: Settings, people: People) -> None:
    first, second, third = (enter(database, settings, people.coach) for _ in range(3))
    other = enter(database, settings, people.owner)
    with database.session() as session:
        sessions.end_one(session, str(first.actor.session_id))
    assert [let_in(database, settings, e) for e in (first, second, third, other)] == [False, True, True, True]
    with database.session() as session:
        sessions.end_all(session, people.coach)
    assert [let_in(database, settings, e) for e in (first, second, third, other)] == [False, False, False, True]


def test_a_role_that_changes_counts_from_the_next_request(
    database: Database, settings: Settings, people: People
) -> None:
    """ASVS 5.0, 8.3.2."""
    entered = enter(database, settings, people.owner)
    with database.session() as session:
        session.get_one(Person, people.owner).role = "coach"
        session.flush()
        actor = actor_of_session(session, settings, entered.token)
        assert actor
        assert actor.kind == "coach"


def test_an_athletes_session_is_not_ended_by_rest(database: Database, settings: Settings, people: People) -> None:
    with database.session() as session:
        link = Link(
            id=new_id(),
            gym_id=people.gym,
            athlete_id=people.athlete,
            digest="0" * 64,
            expires=now() + timedelta(days=9),
        )
        session.add(link)
        session.flush()
        entered = sessions.start(session, settings, session.get_one(Person, people.athlete), link)
        assert entered.expires == link.expires
    seen(database, entered, now() - timedelta(days=3))
    assert let_in(database, settings, entered)


@pytest.mark.parametrize("minutes", [1, 10_000])
def test_the_settings_say_how_long(database: Database, people: People, minutes: int) -> None:
    settings = Settings(session_idle_minutes=minutes)
    entered = enter(database, settings, people.coach)
    seen(database, entered, now() - timedelta(minutes=2))
    assert let_in(database, settings, entered) is (minutes > 2)
