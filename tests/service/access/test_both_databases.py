"""Every way in, once on SQLite and once on PostgreSQL; the details are tested on SQLite."""

from datetime import timedelta

import pytest

from service.access import links, sessions
from service.access.entrance import accept_invitation, actor_of_session, change_password, open_link, sign_in, sign_out
from service.access.errors import NotLetIn
from service.access.invitations import invite
from service.access.keys import actor_of_key, make_key, rotate_key
from service.records import Link, Person, Session, now
from service.records.database import Database
from service.settings import Settings
from tests.service.access.conftest import PASSWORD, People

HERE = "203.0.113.7"
NEW = "velvet ladder comet"


@pytest.fixture
def database(both: Database) -> Database:
    return both


def test_a_coach(database: Database, settings: Settings, people: People) -> None:
    for login in ("nobody here", "\u0000", "\ud800", "bo"):
        with pytest.raises(NotLetIn):
            sign_in(database, settings, login, "wrong password here", HERE)
    first = sign_in(database, settings, "bo", PASSWORD, HERE)
    second = change_password(database, settings, first.actor, PASSWORD, NEW)
    with database.session() as session:
        assert actor_of_session(session, settings, first.token) is None
        assert actor_of_session(session, settings, second.token) == second.actor
        session.get_one(Session, second.actor.session_id).last_seen = now() - timedelta(minutes=119)
        assert actor_of_session(session, settings, second.token) == second.actor
        sign_out(session, second.actor)
        assert actor_of_session(session, settings, second.token) is None
        _, token = invite(session, session.get_one(Person, people.coach), people.actor("owner"))
    third = accept_invitation(database, settings, token, PASSWORD)
    with database.session() as session:
        sessions.end_all(session, people.coach)
        assert actor_of_session(session, settings, third.token) is None


def test_an_athlete(database: Database, settings: Settings, people: People) -> None:
    with database.session() as session:
        athlete = session.get_one(Person, people.athlete)
        link, token = links.make_link(session, settings, athlete, people.actor("coach"), clips_a_day=2)
        entered = open_link(session, settings, token)
        links.spend_clip(session, entered.actor)
        assert links.clips_left(session, entered.actor) == 1
    with database.session() as session:
        assert actor_of_session(session, settings, entered.token) == entered.actor
        links.revoke_link(session, session.get_one(Link, link.id))
        assert actor_of_session(session, settings, entered.token) is None
        for text in ("\u0000", "\ud800", token):
            with pytest.raises(NotLetIn):
                open_link(session, settings, text)


def test_a_program(database: Database, people: People) -> None:
    with database.session() as session:
        key, text = make_key(session, people.gym, "planner", ["read:tempo"], now() + timedelta(days=9))
        _, new_text = rotate_key(session, key)
        assert actor_of_key(session, text)
        assert actor_of_key(session, new_text)
        for wrong in ("pbk_\u0000_x", "\ud800", text[:-1]):
            assert actor_of_key(session, wrong) is None
